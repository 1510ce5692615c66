#include "plugin/wire/json_text.hpp"

#include <algorithm>
#include <boost/container/static_vector.hpp>
#include <charconv>
#include <fmt/format.h>
#include <utility>

#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

constexpr std::size_t shown_bytes_max = 60;

// Builds the document while the parser reads it, as the parser's listener (which it calls by these
// names), and stops it where the document is not harmless.
// A document that is given back may want memory for it: see Errors in plugin/wheymark.h.
class Builder {  // NOLINT(bugprone-exception-escape)
 public:
  [[nodiscard]] json&& document() && { return std::move(document_); }
  // Why the parser was stopped; empty when it was not.
  [[nodiscard]] const std::string& objection() const { return objection_; }
  // What the parser found wrong itself; at which byte, counted from 1.
  [[nodiscard]] const std::string& error() const { return error_; }
  [[nodiscard]] int error_id() const { return error_id_; }
  [[nodiscard]] std::size_t error_byte() const { return error_byte_; }

  bool null() { return takes(nullptr); }
  bool boolean(bool value) { return takes(value); }
  bool number_integer(json::number_integer_t value) { return takes(value); }
  bool number_unsigned(json::number_unsigned_t value) { return takes(value); }
  bool number_float(json::number_float_t value, const std::string& /*text*/) {
    return takes(value);
  }
  bool string(std::string& value) { return takes(std::move(value)); }
  bool binary(json::binary_t& /*value*/) { return false; }  // not in text

  bool start_object(std::size_t /*size*/) { return enters(json::object()); }
  bool start_array(std::size_t /*size*/) { return enters(json::array()); }
  bool end_object() { return leaves(); }
  bool end_array() { return leaves(); }

  bool key(std::string& name) {
    Level& level = levels_.back();
    auto& members = level.container->get_ref<json::object_t&>();
    const auto [member, is_new] = members.try_emplace(std::move(name));
    if (!is_new) {
      objection_ =
          fmt::format("the key {} stands twice in {}; allowed: once", shown_text(member->first),
                      levels_.size() == 1 ? "the outermost object" : "the object at " + pointer());
      return false;
    }
    level.key = &member->first;
    level.member = &member->second;
    return true;
  }

  bool parse_error(std::size_t byte, const std::string& /*token*/,
                   const nlohmann::detail::exception& error) {
    error_ = error.what();
    error_id_ = error.id;
    error_byte_ = byte;
    return false;
  }

 private:
  // An object or array that has begun and not ended.
  struct Level {
    json* container;
    const std::string* key = nullptr;  // of an object, the last one read,
    json* member = nullptr;            // and where its value goes
  };

  template <class Value>
  bool takes(Value&& value) {
    place() = std::forward<Value>(value);
    return true;
  }

  // Where the next value goes.
  json& place() {
    if (levels_.empty()) return document_;
    const Level& level = levels_.back();
    if (level.member != nullptr) return *level.member;
    return level.container->get_ref<json::array_t&>().emplace_back();
  }

  bool enters(json&& empty) {
    if (levels_.size() >= limits::json_depth_max) {
      objection_ = fmt::format("JSON is nested deeper than {} levels, which is the most allowed",
                               limits::json_depth_max);
      return false;
    }
    json& container = place();
    container = std::move(empty);
    levels_.push_back({&container});
    return true;
  }

  bool leaves() {
    levels_.pop_back();
    return true;
  }

  // Of the innermost object or array.
  [[nodiscard]] std::string pointer() const {
    std::string path;
    for (std::size_t i = 0; i + 1 < levels_.size(); ++i) {
      const Level& level = levels_[i];
      path += '/';
      path += level.key != nullptr ? pointer_token(*level.key)
                                   : std::to_string(level.container->size() - 1);
    }
    return path;
  }

  json document_;
  boost::container::static_vector<Level, limits::json_depth_max> levels_;
  std::string objection_;
  std::string error_;
  int error_id_ = 0;
  std::size_t error_byte_ = 0;
};

constexpr int number_out_of_range = 406;  // as the library numbers its errors

// The library's message without its name, its position (we say our own) and the token it quotes.
std::string reason_in(std::string_view message) {
  for (const std::string_view before : {"] ", "column ", ": "}) {
    const auto found = message.find(before);
    if (found != std::string_view::npos) message.remove_prefix(found + before.size());
  }
  return std::string(message.substr(0, message.find("; last read")));
}

Refusal syntax_refused(std::string_view text, std::size_t byte, std::string_view message) {
  const std::size_t read = std::clamp<std::size_t>(byte, 1, text.size() + 1);
  const std::string_view before = text.substr(0, read - 1);
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  const auto line_start = before.rfind('\n');
  const std::size_t column = line_start == std::string_view::npos ? read : read - line_start - 1;
  return Refusal{
      fmt::format("not JSON at line {}, column {}: {}", line, column, reason_in(message))};
}

bool is_blank(std::string_view text) {
  return text.find_first_not_of(" \t\r\n") == std::string_view::npos;
}

// A token of a JSON Pointer as the key that it stands for.
std::string unescaped(std::string_view token) {
  std::string key;
  for (std::size_t i = 0; i < token.size(); ++i) {
    const bool escapes = token[i] == '~' && i + 1 < token.size();
    key += !escapes ? token[i] : token[++i] == '1' ? '/' : '~';
  }
  return key;
}

// The element that a token of a JSON Pointer names (RFC 6901, section 4), or null.
const json* element_at(const json& list, std::string_view token) {
  const bool has_leading_zero = token.size() > 1 && token.front() == '0';
  std::size_t index = 0;
  const char* const end = token.data() + token.size();
  const auto [stopped, error] = std::from_chars(token.data(), end, index);
  const bool is_index = error == std::errc() && stopped == end && !has_leading_zero;
  return is_index && index < list.size() ? &list[index] : nullptr;
}

const json* member_at(const json& object, std::string_view token) {
  const bool is_escaped = token.find('~') != std::string_view::npos;
  const auto member = is_escaped ? object.find(unescaped(token)) : object.find(token);
  return member == object.end() ? nullptr : &*member;
}

}  // namespace

const json* value_at(const json& document, std::string_view pointer) {
  const json* value = &document;
  while (value != nullptr && !pointer.empty()) {
    pointer.remove_prefix(1);
    const std::string_view token = pointer.substr(0, pointer.find('/'));
    pointer.remove_prefix(token.size());
    if (value->is_object()) {
      value = member_at(*value, token);
    } else {
      value = value->is_array() ? element_at(*value, token) : nullptr;
    }
  }
  return value;
}

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

  Builder builder;
  const bool whole = json::sax_parse(text.begin(), text.end(), &builder, json::input_format_t::json,
                                     true, comments == Comments::allowed);
  if (whole) return std::move(builder).document();
  if (!builder.objection().empty()) return Refusal{builder.objection()};
  if (builder.error_id() == number_out_of_range) {
    return Refusal{"a number is too large; allowed: up to about 1.8e308"};
  }
  return syntax_refused(text, builder.error_byte(), builder.error());
}

std::string text_of(const json& value) {
  return value.dump(-1, ' ', false, json::error_handler_t::replace);
}

std::string plain_text_of(const json& value) {
  return value.is_string() ? value.get<std::string>() : text_of(value);
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
