#include "plugin/wire/presence_text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <string>

#include "core/basis/limits.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

Refusal not_understood(const PresenceSetup& presence, const std::string& found) {
  return Refusal{
      fmt::format("{}: found {}; allowed: {} when somebody is at home, else any other "
                  "word, number, true or false{}",
                  presence.topic, found, shown_text(presence.home),
                  presence.pointer ? " at " + *presence.pointer : "")};
}

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blank = " \t\r\n";
  const std::size_t from = text.find_first_not_of(blank);
  if (from == std::string_view::npos) return {};
  return text.substr(from, text.find_last_not_of(blank) + 1 - from);
}

}  // namespace

Result<bool> somebody_home_from(std::string_view payload, const PresenceSetup& presence) {
  if (payload.size() > limits::payload_bytes_max) {
    return not_understood(presence, fmt::format("a payload of {} bytes", payload.size()));
  }
  if (!presence.pointer) {
    const std::string_view word = trimmed(payload);
    if (word.empty()) return not_understood(presence, "nothing");
    return word == presence.home;
  }
  const auto document = parsed(payload, Comments::refused);
  if (!document) return not_understood(presence, shown_text(payload));
  const nlohmann::json* const there = value_at(document.value(), *presence.pointer);
  if (there == nullptr) return not_understood(presence, "nothing there");
  if (there->is_structured() || there->is_null()) return not_understood(presence, shown(*there));
  return plain_text_of(*there) == presence.home;
}

}  // namespace wheymark
