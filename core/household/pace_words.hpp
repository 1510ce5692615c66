// How fast grains are, said to somebody who knows no pace: by the time that their batches take,
// against the average culture's. Half the pace is twice the time.
#pragma once

#include <cmath>
#include <fmt/format.h>
#include <string>

namespace wheymark {

// "a third more time", as percents: "33 % more time", "20 % less time", "as much time".
inline std::string time_at_pace(double pace, const char* noun = " time") {
  const double percent = std::round(100.0 * (1.0 / pace - 1.0));
  if (percent == 0.0) return fmt::format("as much{}", noun);
  return fmt::format("{:.0f} % {}{}", std::abs(percent), percent > 0.0 ? "more" : "less", noun);
}

// "11 % more time than", to be followed by what it is compared with.
inline std::string time_against(double pace) {
  const bool is_the_same = std::round(100.0 * (1.0 / pace - 1.0)) == 0.0;
  return fmt::format("{} {}", time_at_pace(pace), is_the_same ? "as" : "than");
}

// "11 % more time than the average culture's (likely between 33 % less and 100 % more)". A high
// pace is a short time.
inline std::string pace_words(double low, double median, double high) {
  return fmt::format("{} the average culture's (likely between {} and {})", time_against(median),
                     time_at_pace(high, ""), time_at_pace(low, ""));
}

}  // namespace wheymark
