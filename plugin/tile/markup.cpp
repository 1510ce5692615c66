#include "plugin/tile/markup.hpp"

namespace wheymark {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";
constexpr std::string_view ellipsis = "\xE2\x80\xA6";

bool continues(char c) {
  return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
}

}  // namespace

std::string escaped(std::string_view utf8) {
  std::string out;
  out.reserve(utf8.size() + utf8.size() / 8);
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const char c = utf8[i];
    const std::string_view three = utf8.substr(i, 3);
    if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else if (c == '>') {
      out += "&gt;";
    } else if (c == '"') {
      out += "&quot;";
    } else if (c == '\'') {
      out += "&#39;";
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
      out += replacement;
    } else if (three == "\xEF\xBF\xBE" || three == "\xEF\xBF\xBF") {
      out += replacement;
      i += 2;
    } else {
      out += c;
    }
  }
  return out;
}

std::size_t char_count(std::string_view utf8) {
  std::size_t count = 0;
  for (const char c : utf8) count += continues(c) ? 0 : 1;
  return count;
}

std::string shortened(std::string_view utf8, std::size_t chars_max) {
  if (char_count(utf8) <= chars_max) return std::string(utf8);
  std::size_t end = 0;
  std::size_t count = 0;
  while (end < utf8.size() && (continues(utf8[end]) || ++count < chars_max)) ++end;
  while (end > 0 && utf8[end - 1] == ' ') --end;
  return std::string(utf8.substr(0, end)) + std::string(ellipsis);
}

}  // namespace wheymark
