// Does a track convert between instants and clock hours without contradiction?
#include "core/pace/clock_track.hpp"

#include <chrono>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>

#include "core/basis/check.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace std::chrono_literals;

// The clock stands still for an hour, then runs at half speed for two, then at double speed for
// one.
ClockTrack uneven() {
  ClockTrack track;
  track.add(noon, 0.0);
  track.add(noon + 1h, 0.0);
  track.add(noon + 3h, 1.0);
  track.add(noon + 4h, 3.0);
  return track;
}

TEST(ClockTrack, IsLinearBetweenItsPoints) {
  EXPECT_NEAR(uneven().clock_h_at(noon + 30min), 0.0, 1e-12);
  EXPECT_NEAR(uneven().clock_h_at(noon + 2h), 0.5, 1e-12);
  EXPECT_NEAR(uneven().clock_h_at(noon + 3h + 15min), 1.5, 1e-12);
}

TEST(ClockTrack, HoldsBeforeItsFirstAndAfterItsLastPoint) {
  EXPECT_EQ(uneven().clock_h_at(noon - 5h), 0.0);
  EXPECT_EQ(uneven().clock_h_at(noon + 50h), 3.0);
}

TEST(ClockTrack, TheInstantOfAClockIsWhenItFirstShowedIt) {
  EXPECT_EQ(uneven().instant_of(0.0), noon);
  EXPECT_EQ(uneven().instant_of(0.25), noon + 1h + 30min);
  EXPECT_EQ(uneven().instant_of(1.0), noon + 3h);
  EXPECT_EQ(uneven().instant_of(2.0), noon + 3h + 30min);
  EXPECT_EQ(uneven().instant_of(3.0), noon + 4h);
}

TEST(ClockTrack, WhatHasNotComeHasNoInstant) {
  EXPECT_FALSE(uneven().instant_of(3.1));
  EXPECT_FALSE(uneven().instant_of(std::numeric_limits<double>::infinity()));
  EXPECT_FALSE(uneven().instant_of(std::nan("")));
  EXPECT_FALSE(ClockTrack{}.instant_of(0.0));
  EXPECT_TRUE(std::isnan(ClockTrack{}.clock_h_at(noon)));
}

TEST(ClockTrack, InstantAndClockAreInverseToAMillisecond) {
  for (double h = 0.01; h < 3.0; h += 0.01) {
    // A millisecond of a clock that runs at most twice as fast as time.
    EXPECT_NEAR(uneven().clock_h_at(*uneven().instant_of(h)), h, 2.0 / 3.6e6);
  }
}

// A clock that runs evenly is exact between any of its points, however close they were added.
TEST(ClockTrack, LosesNothingOfWhatWasAddedAMinuteApart) {
  ClockTrack track;
  for (int minute = 0; minute <= 125; ++minute) track.add(noon + minute * 1min, minute / 60.0);
  EXPECT_NEAR(track.clock_h_at(noon + 64min), 64 / 60.0, 1e-12);
  EXPECT_NEAR(track.clock_h_at(noon + 125min), 125 / 60.0, 1e-12);  // up to the very end
}

TEST(ClockTrack, AClockThatRunsBackwardsIsAMistakeOfOurs) {
  ClockTrack track = uneven();
  EXPECT_THROW(track.end_with(noon + 5h, 2.9), BrokenCheck);
  EXPECT_THROW(track.end_with(noon + 3h, 4.0), BrokenCheck);
}

}  // namespace
}  // namespace wheymark
