#include "plugin/configuration/text_forms.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "plugin/configuration/time_zone.hpp"

namespace wheymark {
namespace {

using Allowed = std::optional<std::string>;

// A prefix leaves room for the longest of our own levels below it.
constexpr std::size_t prefix_bytes_max = limits::topic_bytes_max / 2;

bool has_control_character(std::string_view text) {
  return std::any_of(text.begin(), text.end(),
                     [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; });
}

bool has_nul(std::string_view text) {
  return text.find('\0') != std::string_view::npos;
}

bool is_id_character(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
}

bool is_topic(std::string_view text, std::size_t bytes_max) {
  return !text.empty() && text.size() <= bytes_max && text.front() != '$' &&
         text.find_first_of("+#") == std::string_view::npos && !has_control_character(text);
}

bool is_port(std::string_view text) {
  int port = 0;
  const char* const end = text.data() + text.size();
  const auto [stopped, error] = std::from_chars(text.data(), end, port);
  return error == std::errc() && stopped == end && port >= 1 && port <= 65'535 && text[0] != '-';
}

// A name or address; an IPv6 address in square brackets. Whether it exists, the network will tell.
bool is_host(std::string_view text) {
  if (text.size() > 2 && text.front() == '[' && text.back() == ']') {
    return text.find_first_not_of("0123456789abcdefABCDEF:.", 1) == text.size() - 1;
  }
  return !text.empty() && text.size() <= 253 && !has_control_character(text) &&
         text.find_first_of(" :/?#@[]\"\\") == std::string_view::npos;
}

enum class Port { required, optional };

bool is_host_and_port(std::string_view text, Port port) {
  const auto host_end = text.rfind(':');
  const auto bracket = text.rfind(']');
  const bool has_port = host_end != std::string_view::npos &&
                        (bracket == std::string_view::npos || host_end > bracket);
  if (!has_port) return port == Port::optional && is_host(text);
  return is_host(text.substr(0, host_end)) && is_port(text.substr(host_end + 1));
}

bool is_broker_url(std::string_view text) {
  const auto colon = text.find("://");
  if (colon == std::string_view::npos) return false;
  const std::string_view scheme = text.substr(0, colon);
  const bool is_web = scheme == "ws" || scheme == "wss";
  if (!is_web && scheme != "mqtt" && scheme != "mqtts") return false;

  const std::string_view rest = text.substr(colon + 3);
  const auto slash = rest.find('/');
  const std::string_view path = slash == std::string_view::npos ? "" : rest.substr(slash);
  if (has_control_character(path) || path.find(' ') != std::string_view::npos) return false;
  return is_host_and_port(rest.substr(0, slash), Port::optional) &&
         (is_web || path.empty() || path == "/");
}

bool is_json_pointer(std::string_view text) {
  if (text.empty()) return true;
  if (text.front() != '/') return false;
  for (std::size_t i = text.find('~'); i != std::string_view::npos; i = text.find('~', i + 1)) {
    if (i + 1 == text.size() || (text[i + 1] != '0' && text[i + 1] != '1')) return false;
  }
  return true;
}

// What is allowed, unless it `fits`.
Allowed unless(bool fits, std::string_view allowed) {
  return fits ? std::nullopt : Allowed(std::string(allowed));
}

}  // namespace

Allowed id_form(std::string_view text) {
  const bool fits = !text.empty() && text.size() <= limits::id_chars_max &&
                    std::all_of(text.begin(), text.end(), is_id_character) && text.front() != '-' &&
                    text.back() != '-';
  return unless(fits,
                fmt::format("an id of 1 to {} of a-z, 0-9 and hyphens, neither first nor last "
                            "a hyphen",
                            limits::id_chars_max));
}

Allowed name_form(std::string_view text) {
  const bool fits =
      !text.empty() && text.size() <= limits::name_bytes_max && !has_control_character(text);
  return unless(fits, fmt::format("a text of 1 to {} bytes without control characters",
                                  limits::name_bytes_max));
}

Allowed remark_form(std::string_view text) {
  const bool fits = !text.empty() && text.size() <= limits::text_bytes_max && !has_nul(text);
  return unless(fits, fmt::format("a text of 1 to {} bytes without NUL", limits::text_bytes_max));
}

Allowed file_form(std::string_view text) {
  constexpr std::size_t path_bytes_max = 4096;  // what Linux takes
  const bool fits = !text.empty() && text.size() < path_bytes_max && !has_control_character(text);
  return unless(fits, "the name of a file");
}

Allowed topic_form(std::string_view text) {
  return unless(is_topic(text, limits::topic_bytes_max),
                fmt::format("one topic of 1 to {} bytes without wildcards (+ #) and control "
                            "characters, not beginning with $",
                            limits::topic_bytes_max));
}

Allowed topic_prefix_form(std::string_view text) {
  const bool fits = is_topic(text, prefix_bytes_max) && text.front() != '/' && text.back() != '/' &&
                    text.find("//") == std::string_view::npos;
  return unless(fits, fmt::format("a topic of 1 to {} bytes without wildcards (+ #), control "
                                  "characters and empty levels, not beginning with $",
                                  prefix_bytes_max));
}

Allowed json_pointer_form(std::string_view text) {
  const bool fits = text.size() <= limits::text_bytes_max && is_json_pointer(text) &&
                    !has_control_character(text);
  return unless(fits,
                "a JSON Pointer such as /temperature or /sensors/0/value, in which ~0 stands "
                "for ~ and ~1 for /");
}

Allowed broker_url_form(std::string_view text) {
  return unless(text.size() <= limits::text_bytes_max && is_broker_url(text),
                "mqtt://, mqtts://, ws:// or wss:// with a host and perhaps a port, such as "
                "mqtt://127.0.0.1:1883");
}

Allowed listen_form(std::string_view text) {
  return unless(is_host_and_port(text, Port::required),
                "an address and a port from 1 to 65535, such as 127.0.0.1:8078");
}

bool is_loopback(std::string_view listen) {
  return listen.starts_with("127.") || listen.starts_with("[::1]") ||
         listen.starts_with("localhost:");
}

Allowed hour_form(std::string_view text) {
  const auto digit = [&](std::size_t i, char most) { return text[i] >= '0' && text[i] <= most; };
  const bool is_hour = text.size() == 5 && text[2] == ':' && digit(0, '2') &&
                       digit(1, text[0] == '2' ? '3' : '9') && digit(3, '5') && digit(4, '9');
  if (is_hour) return std::nullopt;
  return "an hour of the day from 00:00 to 23:59, as \"07:00\"";
}

Allowed time_zone_form(std::string_view text) {
  const auto offset = utc_offset_in(std::string(text));
  if (offset) return std::nullopt;
  return offset.why();
}

}  // namespace wheymark
