// Is a row still what was written? A CRC-32 over its content, the same on every machine.
//
// Finds every single flipped bit and every burst up to 32 bits; it is no defence against somebody
// who means to change a row.
#pragma once

#include <array>
#include <bit>
#include <boost/crc.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <string_view>

#include "plugin/store/store.hpp"

namespace wheymark {

class Checksum {
 public:
  Checksum& add(std::uint64_t number) {
    std::array<unsigned char, sizeof number> bytes;
    for (std::size_t i = 0; i < bytes.size(); ++i) {  // little end first, whatever the machine
      bytes[i] = static_cast<unsigned char>(number >> (8 * i));
    }
    crc_.process_bytes(bytes.data(), bytes.size());
    return *this;
  }
  // The length goes in as well, so that bytes cannot wander from one text to the next.
  Checksum& add(std::string_view text) {
    add(static_cast<std::uint64_t>(text.size()));
    crc_.process_bytes(text.data(), text.size());
    return *this;
  }
  // Signed, because SQLite then needs four bytes for it and never more.
  [[nodiscard]] std::int64_t value() const { return static_cast<std::int32_t>(crc_.checksum()); }

 private:
  boost::crc_32_type crc_;
};

inline std::int64_t checksum_of(const JournalRow& row) {
  const double value = std::isnan(row.value) ? std::numeric_limits<double>::quiet_NaN() : row.value;
  return Checksum()
      .add(static_cast<std::uint64_t>(row.at.time_since_epoch().count()))
      .add(static_cast<std::uint64_t>(row.kind))
      .add(row.subject)
      .add(std::bit_cast<std::uint64_t>(value))
      .add(row.body)
      .value();
}

inline std::int64_t checksum_of(const OutboxMessage& message) {
  return Checksum()
      .add(message.topic)
      .add(message.payload)
      .add(message.content_type)
      .add(std::uint64_t{message.qos})
      .value();
}

inline std::int64_t checksum_of(std::string_view topic) {
  return Checksum().add(topic).value();
}

}  // namespace wheymark
