// What does a place forget when a clock that was wrong goes back?
#include "core/air/place_air.hpp"

#include <cmath>
#include <gtest/gtest.h>
#include <numbers>

namespace wheymark {
namespace {

using namespace std::chrono_literals;

constexpr Instant begin{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1}};

class Fridge {
 public:
  void reads(Instant at, double air_c) { air.read({at, Celsius(air_c)}, setup); }
  // Every ten minutes, a day that swings round `mean_c`.
  void lives(Instant from, Instant to, double mean_c) {
    for (Instant at = from; at < to; at += 10min) {
      const double days = hours_between(begin, at) / 24.0;
      reads(at, mean_c + 0.7 * std::sin(2.0 * std::numbers::pi * days));
    }
  }
  HouseholdSetup setup;
  PlaceAir air{PlaceKind::fridge};
};

void expect_the_same(const Fridge& a, const Fridge& b) {
  const AirAhead ahead = a.air.ahead(a.setup);
  const AirAhead other = b.air.ahead(b.setup);
  EXPECT_EQ(ahead.from, other.from);
  EXPECT_EQ(ahead.level, other.level);
  EXPECT_EQ(ahead.sd_k, other.sd_k);
  EXPECT_EQ(ahead.above_level_k, other.above_level_k);
  EXPECT_EQ(a.air.too_warm().since(), b.air.too_warm().since());
  EXPECT_EQ(a.air.too_cold().since(), b.air.too_cold().since());
  EXPECT_EQ(a.air.history().at(begin + 12h), b.air.history().at(begin + 12h));
}

TEST(PlaceAir, ReadingsOfAClockThatWasADayAheadLeaveNothingBehind) {
  Fridge calm;
  calm.lives(begin, begin + 24h * 9, 4.5);
  Fridge misled;
  misled.lives(begin, begin + 24h * 8, 4.5);
  misled.lives(begin + 24h * 9, begin + 24h * 9 + 6h, 12.0);
  EXPECT_TRUE(misled.air.too_warm().since());
  misled.lives(begin + 24h * 8, begin + 24h * 9, 4.5);
  EXPECT_FALSE(misled.air.too_warm().since());
  expect_the_same(calm, misled);
}

// An excursion that began before is still the same one: its event's id is made of its beginning.
TEST(PlaceAir, AnExcursionFromBeforeGoesOnWithItsBeginning) {
  Fridge calm;
  calm.lives(begin, begin + 24h * 2, 4.5);
  calm.lives(begin + 24h * 2, begin + 24h * 6, 9.0);
  Fridge misled;
  misled.lives(begin, begin + 24h * 2, 4.5);
  misled.lives(begin + 24h * 2, begin + 24h * 5, 9.0);
  misled.lives(begin + 24h * 40, begin + 24h * 41, 4.5);
  misled.lives(begin + 24h * 5, begin + 24h * 6, 9.0);
  ASSERT_TRUE(calm.air.too_warm().since());
  expect_the_same(calm, misled);
}

// Conclusions stay when the readings behind them are forgotten.
TEST(PlaceAir, ReadingsThatAreForgottenStillCountInWhatWasConcluded) {
  Fridge calm;
  calm.lives(begin, begin + 24h * 9, 4.5);
  Fridge misled;
  misled.lives(begin, begin + 24h * 8, 4.5);
  misled.air.forget_before(begin + 24h * 7 + 13h, misled.setup);
  ASSERT_EQ(misled.air.history().first()->at, begin + 24h * 7 + 13h);
  misled.lives(begin + 24h * 9, begin + 24h * 9 + 6h, 12.0);
  misled.lives(begin + 24h * 8, begin + 24h * 9, 4.5);
  calm.air.forget_before(begin + 24h * 7 + 13h, calm.setup);
  expect_the_same(calm, misled);
}

TEST(PlaceAir, AClockThatGoesBackBeyondAllThatIsKnownBeginsAnew) {
  Fridge fresh;
  fresh.lives(begin, begin + 24h, 4.5);
  Fridge misled;
  misled.lives(begin + 24h * 100, begin + 24h * 103, 9.0);
  misled.air.forget_before(begin + 24h * 102, misled.setup);
  misled.lives(begin, begin + 24h, 4.5);
  expect_the_same(fresh, misled);
}

}  // namespace
}  // namespace wheymark
