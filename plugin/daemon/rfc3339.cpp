#include "plugin/daemon/rfc3339.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <fmt/format.h>

namespace wheymark {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::milliseconds;
using std::chrono::minutes;
using std::chrono::seconds;
using std::chrono::sys_days;
using std::chrono::year_month_day;

constexpr std::string_view to_the_second = "0000-00-00T00:00:00";

// `0` in the form stands for any digit.
bool has_form(std::string_view text, std::string_view form) {
  return std::equal(text.begin(), text.end(), form.begin(), form.end(), [](char found, char asked) {
    return asked == '0' ? found >= '0' && found <= '9' : found == asked;
  });
}

// The number at `place`, which the form has shown to be digits.
unsigned number_at(std::string_view text, std::size_t place, std::size_t digits) {
  unsigned number = 0;
  std::from_chars(text.data() + place, text.data() + place + digits, number);
  return number;
}

// Removes a fraction such as ".25" from the front of `rest`; nothing when there is a dot without
// digits, or more of them than nanoseconds have.
std::optional<milliseconds> taken_fraction(std::string_view& rest) {
  if (rest.empty() || rest.front() != '.') return milliseconds(0);
  rest.remove_prefix(1);
  int ms = 0;
  int digits = 0;
  for (; !rest.empty() && rest.front() >= '0' && rest.front() <= '9'; rest.remove_prefix(1)) {
    if (++digits <= 3) ms = ms * 10 + (rest.front() - '0');
  }
  if (digits == 0 || digits > 9) return std::nullopt;
  for (; digits < 3; ++digits) ms *= 10;
  return milliseconds(ms);
}

// How much the wall clock in `zone` is ahead of UTC.
std::optional<minutes> offset_of(std::string_view zone) {
  if (zone == "Z") return minutes(0);
  if (!has_form(zone, "+00:00") && !has_form(zone, "-00:00")) return std::nullopt;
  const hours hour(number_at(zone, 1, 2));
  const minutes minute(number_at(zone, 4, 2));
  if (hour > hours(23) || minute > minutes(59)) return std::nullopt;
  return zone.front() == '-' ? -(hour + minute) : hour + minute;
}

}  // namespace

std::optional<std::int64_t> instant_ms_from_rfc3339(std::string_view text) {
  if (!has_form(text.substr(0, to_the_second.size()), to_the_second)) return std::nullopt;
  std::string_view zone = text.substr(to_the_second.size());
  const std::optional<milliseconds> fraction = taken_fraction(zone);
  const std::optional<minutes> offset = offset_of(zone);
  const year_month_day day(std::chrono::year(static_cast<int>(number_at(text, 0, 4))),
                           std::chrono::month(number_at(text, 5, 2)),
                           std::chrono::day(number_at(text, 8, 2)));
  const hours hour(number_at(text, 11, 2));
  const minutes minute(number_at(text, 14, 2));
  const seconds second(number_at(text, 17, 2));
  if (!fraction || !offset || !day.ok()) return std::nullopt;
  if (hour > hours(23) || minute > minutes(59) || second > seconds(59)) return std::nullopt;

  const auto instant = sys_days(day) + hour + minute + second + *fraction - *offset;
  const std::int64_t instant_ms = instant.time_since_epoch().count();
  if (instant_ms < 0) return std::nullopt;
  return instant_ms;
}

std::string rfc3339_from_instant_ms(std::int64_t instant_ms) {
  const std::chrono::sys_time<milliseconds> instant{milliseconds(instant_ms)};
  const sys_days midnight = std::chrono::floor<days>(instant);
  const year_month_day day(midnight);
  const std::chrono::hh_mm_ss time(instant - midnight);
  const std::string whole_seconds =
      fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", static_cast<int>(day.year()),
                  static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day()),
                  time.hours().count(), time.minutes().count(), time.seconds().count());
  const auto ms = time.subseconds().count();
  return ms == 0 ? whole_seconds + "Z" : fmt::format("{}.{:03}Z", whole_seconds, ms);
}

}  // namespace wheymark
