#include "core/record/local_time.hpp"

#include <array>
#include <fmt/format.h>
#include <string_view>

namespace wheymark {
namespace {

constexpr std::array<std::string_view, 7> weekdays{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
constexpr std::array<std::string_view, 12> months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                  "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

struct LocalMinute {
  std::chrono::sys_days day;
  std::chrono::minutes of_day;
};

LocalMinute local_minute(Instant instant, const HouseholdSetup& setup) {
  const auto local = std::chrono::round<std::chrono::minutes>(instant + setup.utc_offset(instant));
  const auto day = std::chrono::floor<std::chrono::days>(local);
  return {day, local - day};
}

std::string clock_of(std::chrono::minutes of_day) {
  return fmt::format("{:02}:{:02}", of_day.count() / 60, of_day.count() % 60);
}

std::string day_of(std::chrono::sys_days day) {
  const std::chrono::year_month_day date{day};
  return fmt::format("{} {} {}", weekdays[std::chrono::weekday{day}.c_encoding()],
                     static_cast<unsigned>(date.day()),
                     months[static_cast<unsigned>(date.month()) - 1]);
}

}  // namespace

std::string clock_text(Instant instant, const HouseholdSetup& setup) {
  return clock_of(local_minute(instant, setup).of_day);
}

std::string near_clock_text(Instant instant, Instant seen_from, const HouseholdSetup& setup) {
  const LocalMinute minute = local_minute(instant, setup);
  if (minute.day == local_minute(seen_from, setup).day) return clock_of(minute.of_day);
  return fmt::format("{} {}", weekdays[std::chrono::weekday{minute.day}.c_encoding()],
                     clock_of(minute.of_day));
}

std::string day_and_clock_text(Instant instant, const HouseholdSetup& setup) {
  const LocalMinute minute = local_minute(instant, setup);
  return day_of(minute.day) + " " + clock_of(minute.of_day);
}

std::string day_text(Instant instant, const HouseholdSetup& setup) {
  return day_of(local_minute(instant, setup).day);
}

}  // namespace wheymark
