// What is lost when old readings are thinned?
#include "core/air/thinning.hpp"

#include <cmath>
#include <gtest/gtest.h>
#include <numbers>
#include <vector>

#include "core/air/temperature_history.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace std::chrono_literals;

// A day of readings, one a minute, that ended so long ago: a swing of two kelvin in tenths.
std::vector<Reading> a_day(Milliseconds ago) {
  std::vector<Reading> day;
  for (int minute = 0; minute < 1440; ++minute) {
    const double air_c = 20.0 + 2.0 * std::sin(2.0 * std::numbers::pi * minute / 1440.0);
    day.push_back({midnight - ago - 24h + minute * 1min, Celsius(std::round(10.0 * air_c) / 10.0)});
  }
  return day;
}

std::vector<Reading> kept_of(const std::vector<Reading>& day) {
  Thinning thinning(midnight);
  std::vector<Reading> kept;
  for (const Reading& r : day) {
    if (thinning.keeps("kitchen", r.at, r.air)) kept.push_back(r);
  }
  return kept;
}

double mean_c(const std::vector<Reading>& readings, Instant until) {
  double sum = 0.0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const Instant next = i + 1 < readings.size() ? readings[i + 1].at : until;
    sum += readings[i].air.degrees() * hours_between(readings[i].at, next);
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

TEST(Thinning, AgainTheSameDayKeepsTheSameReadings) {
  for (const Milliseconds ago : {Milliseconds(240h), Milliseconds(24h * 100)}) {
    const auto day = a_day(ago);
    const auto once = kept_of(day);
    EXPECT_LT(once.size(), day.size());
    const auto twice = kept_of(once);
    ASSERT_EQ(twice.size(), once.size());
    for (std::size_t i = 0; i < once.size(); ++i) {
      EXPECT_EQ(twice[i].at, once[i].at);
      EXPECT_EQ(twice[i].air, once[i].air);
    }
  }
}

}  // namespace
}  // namespace wheymark
