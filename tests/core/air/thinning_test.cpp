// What is lost when old readings are thinned?
#include "core/air/thinning.hpp"

#include <cmath>
#include <gtest/gtest.h>
#include <numbers>
#include <vector>

#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace std::chrono_literals;

struct Read {
  Instant at;
  double air_c;
};

// A day of readings, one a minute, that ended so long ago: a swing of two kelvin in tenths.
std::vector<Read> a_day(Milliseconds ago) {
  std::vector<Read> day;
  for (int minute = 0; minute < 1440; ++minute) {
    const double air_c = 20.0 + 2.0 * std::sin(2.0 * std::numbers::pi * minute / 1440.0);
    day.push_back({midnight - ago - 24h + minute * 1min, std::round(10.0 * air_c) / 10.0});
  }
  return day;
}

std::vector<Read> kept_of(const std::vector<Read>& day) {
  Thinning thinning(midnight);
  std::vector<Read> kept;
  for (const Read& r : day) {
    if (thinning.keeps("kitchen", r.at, Celsius(r.air_c))) kept.push_back(r);
  }
  return kept;
}

double mean_c(const std::vector<Read>& readings, Instant until) {
  double sum = 0.0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const Instant next = i + 1 < readings.size() ? readings[i + 1].at : until;
    sum += readings[i].air_c * hours_between(readings[i].at, next);
  }
  return sum / hours_between(readings.front().at, until);
}

TEST(Thinning, ADayOfLastMonthKeepsItsCourseInAHundredReadings) {
  const auto day = a_day(240h);
  const auto kept = kept_of(day);
  EXPECT_LT(kept.size(), 120U);
  // Each reading that was left out is within a tenth or two of the one kept before it.
  EXPECT_NEAR(mean_c(kept, day.back().at), mean_c(day, day.back().at), 0.1);
}

TEST(Thinning, OfADayLongAgoSomeReadingsStay) {
  EXPECT_EQ(kept_of(a_day(24h * 100)).size(), 8U);
}

TEST(Thinning, ThinningAgainKeepsTheSame) {
  const auto once = kept_of(a_day(240h));
  EXPECT_EQ(kept_of(once).size(), once.size());
}

}  // namespace
}  // namespace wheymark
