// What an instance gave its host to publish.
#pragma once

#include <cstdint>
#include <ostream>
#include <string>

namespace wheymark::test {

struct Published {
  std::string topic;
  std::string payload;
  std::string content_type;
  int qos = 0;
  bool retain = false;
  std::uint64_t delivery = 0;
  friend bool operator==(const Published&, const Published&) = default;
};

inline void PrintTo(const Published& message, std::ostream* out) {
  *out << message.topic << (message.retain ? " (retained) " : " ") << message.payload;
}

}  // namespace wheymark::test
