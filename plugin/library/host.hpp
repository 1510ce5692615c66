// The host's functions behind the C table, as the library uses them.
#pragma once

#include <cstdint>
#include <string_view>

#include "plugin/wheymark.h"

namespace wheymark {

inline wheymark_text as_text(std::string_view text) {
  return {text.data(), text.size()};
}

inline std::string_view view_of(const wheymark_text& text) {
  return text.length == 0 ? std::string_view() : std::string_view(text.bytes, text.length);
}

struct Outgoing {
  std::string_view topic;
  std::string_view payload;
  std::string_view content_type = {};
  std::uint8_t qos = 1;
  bool retain = false;
  std::uint64_t delivery = 0;
};

class Host {
 public:
  // The table is copied; functions that an older host does not have stay null and are not called.
  explicit Host(const wheymark_host& table);

  // False when the host has refused: no connection, or no room.
  bool publish(const Outgoing& message) const;
  bool subscribe(std::string_view filter, std::uint8_t qos) const;
  void log(wheymark_level level, std::string_view line) const;

 private:
  wheymark_host table_;
};

}  // namespace wheymark
