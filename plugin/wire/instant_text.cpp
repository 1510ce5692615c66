#include "plugin/wire/instant_text.hpp"

#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <optional>

#include "core/basis/limits.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/number_text.hpp"

namespace wheymark {
namespace {

using std::chrono::day;
using std::chrono::minutes;
using std::chrono::month;
using std::chrono::seconds;
using std::chrono::sys_days;
using std::chrono::year;
using std::chrono::year_month_day;

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

// The number that is `count` digits at `from`, or -1.
int digits(std::string_view text, std::size_t from, std::size_t count) {
  if (from + count > text.size()) return -1;
  int number = 0;
  for (std::size_t i = from; i < from + count; ++i) {
    if (!is_digit(text[i])) return -1;
    number = 10 * number + (text[i] - '0');
  }
  return number;
}

Refusal not_the_form(std::string_view text) {
  return Refusal{fmt::format("found {}; allowed: an RFC 3339 instant such as 2027-03-01T08:10:00Z",
                             shown_text(text))};
}

// Takes ".123" off the front of `rest`; nothing when there are no digits after the point.
std::optional<Milliseconds> fraction_taken(std::string_view& rest) {
  if (rest.empty() || rest.front() != '.') return Milliseconds{0};
  int ms = 0;
  std::size_t end = 1;
  for (; end < rest.size() && is_digit(rest[end]); ++end) {
    if (end <= 3) ms = 10 * ms + (rest[end] - '0');
  }
  if (end == 1) return std::nullopt;
  for (std::size_t place = end; place <= 3; ++place) ms *= 10;
  rest.remove_prefix(end);
  return Milliseconds{ms};
}

// How far the zone at the end is ahead of UTC. "-00:00" is UTC, whose local zone nobody told.
std::optional<minutes> zone_offset(std::string_view zone) {
  if (zone == "Z" || zone == "z") return minutes{0};
  if (zone.size() != 6 || (zone[0] != '+' && zone[0] != '-') || zone[3] != ':') return std::nullopt;
  const int h = digits(zone, 1, 2);
  const int min = digits(zone, 4, 2);
  if (h < 0 || h > 23 || min < 0 || min > 59) return std::nullopt;
  const minutes ahead = std::chrono::hours{h} + minutes{min};
  return zone[0] == '-' ? -ahead : ahead;
}

Refusal not_a_sane_time(const nlohmann::json& found) {
  return Refusal{fmt::format(
      "found {}; allowed: an instant from {} to {} as RFC 3339, Unix seconds or milliseconds",
      shown(found), rfc3339(limits::sane_since), rfc3339(limits::sane_until))};
}

bool is_sane(Instant instant) {
  return instant >= limits::sane_since && instant < limits::sane_until;
}

Result<Instant> instant_from_unix(double number, const nlohmann::json& found) {
  for (const double ms : {number * 1000.0, number}) {
    // Compared as numbers first: only what is near enough fits an integer.
    if (!(std::abs(ms) < 1e15)) continue;
    const Instant instant{Milliseconds(std::llround(ms))};
    if (is_sane(instant)) return instant;
  }
  return not_a_sane_time(found);
}

}  // namespace

Result<Instant> instant_from_rfc3339(std::string_view text) {
  constexpr std::string_view form = "dddd-dd-ddTdd:dd:dd";
  if (text.size() < form.size()) return not_the_form(text);
  for (std::size_t i = 0; i < form.size(); ++i) {
    const bool fits = form[i] == 'd'   ? is_digit(text[i])
                      : form[i] == 'T' ? text[i] == 'T' || text[i] == 't'
                                       : text[i] == form[i];
    if (!fits) return not_the_form(text);
  }

  std::string_view rest = text.substr(form.size());
  const auto fraction = fraction_taken(rest);
  if (!fraction) return not_the_form(text);
  if (rest.empty()) {
    return Refusal{fmt::format("found {}; allowed: the same with its zone, Z or such as +01:00",
                               shown_text(text))};
  }
  const auto ahead = zone_offset(rest);
  if (!ahead) return not_the_form(text);

  const year_month_day date{year{digits(text, 0, 4)}, month(digits(text, 5, 2)),
                            day(digits(text, 8, 2))};
  const int h = digits(text, 11, 2);
  const int min = digits(text, 14, 2);
  const int s = digits(text, 17, 2);
  if (s == 60) {
    return Refusal{fmt::format(
        "found {}; allowed: seconds up to 59 (a leap second has no instant of its own here)",
        shown_text(text))};
  }
  if (!date.ok() || h > 23 || min > 59 || s > 59) {
    return Refusal{fmt::format("found {}; allowed: a day and a time that exist", shown_text(text))};
  }
  const Instant instant =
      sys_days{date} + std::chrono::hours{h} + minutes{min} + seconds{s} + *fraction - *ahead;
  if (instant < rfc3339_since || instant >= rfc3339_until) {
    return Refusal{
        fmt::format("found {}; allowed: the years 0000 to 9999 in UTC", shown_text(text))};
  }
  return instant;
}

nlohmann::json instant_or_null(const std::optional<Instant>& instant) {
  return instant ? nlohmann::json(rfc3339(*instant)) : nlohmann::json(nullptr);
}

Result<Instant> instant_from_value(const nlohmann::json& value) {
  if (value.is_number()) return instant_from_unix(value.get<double>(), value);
  if (!value.is_string()) return not_a_sane_time(value);

  const auto& text = value.get_ref<const std::string&>();
  const auto number = number_from(text);
  if (number) return instant_from_unix(number.value(), value);
  auto instant = instant_from_rfc3339(text);
  if (instant && !is_sane(instant.value())) return not_a_sane_time(value);
  return instant;
}

}  // namespace wheymark
