// Does a history give the air's temperature, as far as readings tell it?
#include "core/air/temperature_history.hpp"

#include <chrono>
#include <gtest/gtest.h>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;
using namespace std::chrono_literals;

// 20 degC at noon, 26 an hour later, 23 three hours later.
TemperatureHistory three_readings() {
  TemperatureHistory history;
  history.add({noon, 20.0_degC});
  history.add({noon + 1h, 26.0_degC});
  history.add({noon + 3h, 23.0_degC});
  return history;
}

double degrees(const TemperatureHistory& history, Instant instant) {
  return history.at(instant)->degrees();
}

TEST(TemperatureHistory, KnowsNothingWithoutAReading) {
  const TemperatureHistory empty;
  EXPECT_FALSE(empty.last());
  EXPECT_FALSE(empty.at(noon));
  EXPECT_TRUE(empty.between(noon, noon + 1h).empty());
}

// Shares of 6 K in 60 min and of -3 K in 120 min: by hand.
TEST(TemperatureHistory, IsLinearBetweenReadingsAndExactAtThem) {
  const TemperatureHistory history = three_readings();
  EXPECT_EQ(degrees(history, noon), 20.0);
  EXPECT_NEAR(degrees(history, noon + 10min), 21.0, 1e-12);
  EXPECT_NEAR(degrees(history, noon + 45min), 24.5, 1e-12);
  EXPECT_EQ(degrees(history, noon + 1h), 26.0);
  EXPECT_NEAR(degrees(history, noon + 2h), 24.5, 1e-12);
  EXPECT_EQ(degrees(history, noon + 3h), 23.0);
}

TEST(TemperatureHistory, HoldsTheFirstReadingBeforeItAndTheLastAfterIt) {
  const TemperatureHistory history = three_readings();
  EXPECT_EQ(degrees(history, noon - 100h), 20.0);
  EXPECT_EQ(degrees(history, noon + 100h), 23.0);
}

TEST(TemperatureHistory, StretchesCoverTheWholeTimeWithoutGapOrJump) {
  const TemperatureHistory history = three_readings();
  for (const Instant from : {noon - 30min, noon, noon + 20min, noon + 1h, noon + 5h}) {
    for (const Milliseconds lasts : {Milliseconds(1ms), Milliseconds(40min), Milliseconds(6h)}) {
      const auto stretches = history.between(from, from + lasts);
      ASSERT_FALSE(stretches.empty());
      EXPECT_EQ(stretches.front().from, from);
      EXPECT_EQ(stretches.back().to, from + lasts);
      for (std::size_t i = 0; i < stretches.size(); ++i) {
        EXPECT_LT(stretches[i].from, stretches[i].to);
        EXPECT_NEAR(stretches[i].at_from.degrees(), degrees(history, stretches[i].from), 1e-12);
        EXPECT_NEAR(stretches[i].at_to.degrees(), degrees(history, stretches[i].to), 1e-12);
        if (i == 0) continue;
        EXPECT_EQ(stretches[i].from, stretches[i - 1].to);
        EXPECT_EQ(stretches[i].at_from.degrees(), stretches[i - 1].at_to.degrees());
      }
    }
  }
}

TEST(TemperatureHistory, StretchesBreakAtEveryReading) {
  const auto stretches = three_readings().between(noon - 1h, noon + 4h);
  ASSERT_EQ(stretches.size(), 4u);  // before the first, two between, after the last
  EXPECT_EQ(stretches[0].to, noon);
  EXPECT_EQ(stretches[1].to, noon + 1h);
  EXPECT_EQ(stretches[2].to, noon + 3h);
}

TEST(TemperatureHistory, NoTimeIsNoStretch) {
  EXPECT_TRUE(three_readings().between(noon + 2h, noon + 2h).empty());
  EXPECT_TRUE(three_readings().between(noon + 2h, noon + 1h).empty());
}

TEST(TemperatureHistory, ForgettingChangesNothingFromThenOn) {
  const TemperatureHistory whole = three_readings();
  for (const Instant since : {noon - 1h, noon, noon + 30min, noon + 1h, noon + 2h, noon + 9h}) {
    TemperatureHistory cut = three_readings();
    cut.forget_before(since);
    for (Instant i = since; i < noon + 10h; i += 7min) {
      EXPECT_EQ(degrees(cut, i), degrees(whole, i));
    }
    EXPECT_EQ(cut.last()->at, whole.last()->at);
  }
}

TEST(TemperatureHistory, ForgettingReallyForgets) {
  TemperatureHistory cut = three_readings();
  cut.forget_before(noon + 1h);
  EXPECT_EQ(degrees(cut, noon), 26.0);  // held now, where 20 was read
}

TEST(TemperatureHistory, AReadingThatIsNotLaterIsAMistakeOfOurs) {
  TemperatureHistory history = three_readings();
  EXPECT_THROW(history.add({noon + 3h, 21.0_degC}), BrokenCheck);
  EXPECT_THROW(history.add({noon, 21.0_degC}), BrokenCheck);
}

TEST(TemperatureHistory, KeepsNoMoreThanItsLimit) {
  TemperatureHistory history;
  const auto readings = static_cast<int>(limits::history_readings_max) + 10;
  for (int i = 0; i < readings; ++i) history.add({noon + i * 1min, Celsius(i)});
  EXPECT_EQ(degrees(history, noon), 10.0);  // the oldest ten are gone, the eleventh is held
  EXPECT_EQ(history.last()->air.degrees(), readings - 1);
}

}  // namespace
}  // namespace wheymark
