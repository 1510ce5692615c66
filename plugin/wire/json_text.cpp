#include "plugin/wire/json_text.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <unordered_set>
#include <utility>
#include <vector>

#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

constexpr std::size_t shown_bytes_max = 60;

// Leaves the parser, which knows no other way to stop in the middle. Never leaves this file.
struct Abandoned {
  std::string why;
};

// Follows the parser from value to value, and knows where it is.
class Watch {
 public:
  void sees(json::parse_event_t event, const json& value) {
    switch (event) {
      case json::parse_event_t::object_start:
        return enters(false);
      case json::parse_event_t::array_start:
        return enters(true);
      case json::parse_event_t::key:
        return reads_key(value.get_ref<const std::string&>());
      case json::parse_event_t::object_end:
      case json::parse_event_t::array_end:
        levels_.pop_back();
        return passes_value();
      case json::parse_event_t::value:
        return passes_value();
    }
  }

 private:
  struct Level {
    bool is_array = false;
    std::size_t index = 0;  // of an array
    std::string key;        // the last one read of an object
    std::unordered_set<std::string> keys;
  };

  void enters(bool is_array) {
    if (levels_.size() >= limits::json_depth_max) {
      throw Abandoned{fmt::format("JSON is nested deeper than {} levels, which is the most allowed",
                                  limits::json_depth_max)};
    }
    levels_.emplace_back();
    levels_.back().is_array = is_array;
  }

  void reads_key(const std::string& key) {
    Level& object = levels_.back();
    if (!object.keys.insert(key).second) {
      throw Abandoned{
          fmt::format("the key {} stands twice in {}; allowed: once", shown_text(key),
                      levels_.size() == 1 ? "the outermost object" : "the object at " + pointer())};
    }
    object.key = key;
  }

  void passes_value() {
    if (!levels_.empty() && levels_.back().is_array) ++levels_.back().index;
  }

  // Of the innermost object or array.
  [[nodiscard]] std::string pointer() const {
    std::string path;
    for (std::size_t i = 0; i + 1 < levels_.size(); ++i) {
      const Level& level = levels_[i];
      path += "/" + (level.is_array ? std::to_string(level.index) : pointer_token(level.key));
    }
    return path;
  }

  std::vector<Level> levels_;
};

// The library's message without its name, its position (we say our own) and the token it quotes.
std::string reason_in(std::string_view message) {
  for (const std::string_view before : {"] ", "column ", ": "}) {
    const auto found = message.find(before);
    if (found != std::string_view::npos) message.remove_prefix(found + before.size());
  }
  return std::string(message.substr(0, message.find("; last read")));
}

Refusal syntax_refused(std::string_view text, const json::parse_error& error) {
  const std::size_t read = std::clamp<std::size_t>(error.byte, 1, text.size() + 1);
  const std::string_view before = text.substr(0, read - 1);
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  const auto line_start = before.rfind('\n');
  const std::size_t column = line_start == std::string_view::npos ? read : read - line_start - 1;
  return Refusal{
      fmt::format("not JSON at line {}, column {}: {}", line, column, reason_in(error.what()))};
}

bool is_blank(std::string_view text) {
  return text.find_first_not_of(" \t\r\n") == std::string_view::npos;
}

}  // namespace

Result<json> parsed(std::string_view text, Comments comments) {
  const std::size_t bytes_max =
      comments == Comments::allowed ? limits::configuration_bytes_max : limits::payload_bytes_max;
  if (text.size() > bytes_max) {
    return Refusal{
        fmt::format("the text has {} bytes; allowed: at most {}", text.size(), bytes_max)};
  }
  if (is_blank(text)) return Refusal{"the text is empty; allowed: one JSON document"};
  const auto nul = text.find('\0');
  if (nul != std::string_view::npos) {
    return Refusal{fmt::format("the text has a NUL byte at byte {}; allowed: none", nul + 1)};
  }

  Watch watch;
  const auto watched = [&watch](int, json::parse_event_t event, json& value) {
    watch.sees(event, value);
    return true;
  };
  try {
    return json::parse(text.begin(), text.end(), watched, true, comments == Comments::allowed);
  } catch (const Abandoned& abandoned) {
    return Refusal{abandoned.why};
  } catch (const json::parse_error& error) {
    return syntax_refused(text, error);
  } catch (const json::out_of_range&) {
    return Refusal{"a number is too large; allowed: up to about 1.8e308"};
  } catch (const json::exception& error) {
    return Refusal{"not JSON: " + reason_in(error.what())};
  }
}

std::string text_of(const json& value) {
  return value.dump(-1, ' ', false, json::error_handler_t::replace);
}

std::string shown(const json& value) {
  if (value.is_object()) return "an object";
  if (value.is_array()) return "an array";
  if (value.is_string()) return shown_text(value.get_ref<const std::string&>());
  return text_of(value);
}

std::string shown_text(std::string_view text) {
  if (text.size() <= shown_bytes_max) return text_of(json(std::string(text)));
  std::size_t end = shown_bytes_max;
  const auto continues = [&](std::size_t i) {
    return (static_cast<unsigned char>(text[i]) & 0xC0U) == 0x80U;  // within a UTF-8 character
  };
  while (end > 0 && continues(end)) --end;
  return text_of(json(std::string(text.substr(0, end)) + "..."));
}

std::string pointer_token(std::string_view key) {
  std::string token;
  for (const char c : key) {
    if (c == '~') {
      token += "~0";
    } else if (c == '/') {
      token += "~1";
    } else {
      token += c;
    }
  }
  return token;
}

}  // namespace wheymark
