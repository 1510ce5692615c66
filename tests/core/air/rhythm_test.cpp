// After how long is a thermometer silent, by what it did before?
#include "core/air/rhythm.hpp"

#include <gtest/gtest.h>

#include "tests/core/given.hpp"

namespace wheymark::test {
namespace {

using namespace std::chrono_literals;

class ARhythm : public ::testing::Test {
 protected:
  void speaks_every(std::chrono::minutes pause, int times) {
    for (int i = 0; i < times; ++i) rhythm.spoke(now += pause);
  }
  Instant now = morning;
  Rhythm rhythm;
};

TEST_F(ARhythm, ThatIsNotKnownYetLeavesAnHourlyOneTime) {
  EXPECT_GT(rhythm.silent_after(), 2h);
  speaks_every(60min, 3);
  EXPECT_GT(rhythm.silent_after(), 2h);
}

TEST_F(ARhythm, OfEachMinuteIsBrokenAfterTheLeastTimeThatMatters) {
  speaks_every(1min, 60);
  EXPECT_EQ(rhythm.silent_after(), 45min);
}

TEST_F(ARhythm, OfAnHourIsBrokenClearlyLaterThanAnHour) {
  speaks_every(60min, 24);
  EXPECT_GE(rhythm.silent_after(), 2h);
  EXPECT_LE(rhythm.silent_after(), 3h);
}

TEST_F(ARhythm, IsNotMadeByOneLongAbsence) {
  speaks_every(5min, 100);
  speaks_every(600min, 1);
  speaks_every(5min, 100);
  EXPECT_EQ(rhythm.silent_after(), 45min);
}

TEST_F(ARhythm, OfOneThatSpeaksOnAChangeIsItsLongPauses) {
  for (int day = 0; day < 2; ++day) {
    speaks_every(10min, 20);
    speaks_every(180min, 4);
  }
  EXPECT_GT(rhythm.silent_after(), 3h);
}

TEST_F(ARhythm, ThatHasChangedIsLearnedWithinAWeek) {
  speaks_every(60min, 48);
  speaks_every(5min, 12 * 24 * 6);
  EXPECT_EQ(rhythm.silent_after(), 45min);
}

TEST_F(ARhythm, ThatIsConfiguredIsThat) {
  Rhythm configured(20min);
  for (int i = 0; i < 48; ++i) configured.spoke(now += 1h);
  EXPECT_EQ(configured.silent_after(), 20min);
}

TEST_F(ARhythm, GoesOnWhenTheClockHasGoneBack) {
  speaks_every(5min, 24);
  now -= 24h;
  speaks_every(5min, 24);
  EXPECT_EQ(rhythm.silent_after(), 45min);
}

}  // namespace
}  // namespace wheymark::test
