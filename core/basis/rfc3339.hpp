// An instant as text: RFC 3339 in UTC, on every topic, in the journal and in exports.
#pragma once

#include <chrono>
#include <fmt/format.h>
#include <string>

#include "core/basis/units.hpp"

namespace wheymark {

// The years 0000 to 9999, which the format can express.
constexpr Instant rfc3339_since{std::chrono::sys_days{std::chrono::year{0} / 1 / 1}};
constexpr Instant rfc3339_until{std::chrono::sys_days{std::chrono::year{10'000} / 1 / 1}};

// "2027-03-01T08:10:00Z", with milliseconds only when they are not 0. Empty outside these
// years.
inline std::string rfc3339(Instant instant) {
  if (instant < rfc3339_since || instant >= rfc3339_until) return "";
  const auto midnight = std::chrono::floor<std::chrono::days>(instant);
  const std::chrono::year_month_day date{midnight};
  const std::chrono::hh_mm_ss time{instant - midnight};
  std::string text =
      fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                  time.hours().count(), time.minutes().count(), time.seconds().count());
  if (time.subseconds().count() != 0) text += fmt::format(".{:03}", time.subseconds().count());
  return text + "Z";
}

}  // namespace wheymark
