// What an instance gave its host to publish, copied out of the records of the C header.
#pragma once

#include <cstdint>
#include <ostream>
#include <string>
#include <string_view>

#include "plugin/wheymark.h"

namespace wheymark::test {

// A text of the header that lives as long as `text`, and a copy of one.
inline wheymark_text text_of(std::string_view text) {
  return {text.data(), text.size()};
}
inline std::string string_of(wheymark_text text) {
  return text.length == 0 ? std::string() : std::string(text.bytes, text.length);
}

struct Published {
  std::string topic;
  std::string payload;
  std::string content_type;
  int qos = 0;
  bool retain = false;
  std::uint64_t delivery = 0;
  friend bool operator==(const Published&, const Published&) = default;
};

inline Published published_of(const wheymark_message& message) {
  return {string_of(message.topic),
          string_of(message.payload),
          string_of(message.content_type),
          message.qos,
          message.retain != 0,
          message.delivery};
}

inline void PrintTo(const Published& message, std::ostream* out) {
  *out << message.topic << (message.retain ? " (retained) " : " ") << message.payload;
}

}  // namespace wheymark::test
