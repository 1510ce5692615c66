// Is a fridge that is too warm told from an open door, and a room from a hot afternoon?
#include "core/air/excursion.hpp"

#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

class AFridge : public ::testing::Test {
 protected:
  World world;
  Room& fridge = world.room("fridge");
  [[nodiscard]] auto warnings() {
    const auto kinds = world.told_of("place-fridge");
    return std::count(kinds.begin(), kinds.end(), "fridge-too-warm");
  }
};

TEST_F(AFridge, WithItsDoorOpenForTwentyMinutesIsNotTooWarm) {
  world.run_for(2h);
  for (int day = 0; day < 3; ++day) {
    fridge.is(14.0_degC);
    world.run_for(20min);
    fridge.is(4.0_degC);
    world.run_for(12h);
  }
  EXPECT_EQ(warnings(), 0);
}

TEST_F(AFridge, WhoseCompressorSwingsIsNotTooWarm) {
  for (int swing = 0; swing < 20; ++swing) {
    fridge.drifts_to(7.5_degC, 40min);
    world.run_for(40min);
    fridge.drifts_to(2.5_degC, 40min);
    world.run_for(40min);
  }
  EXPECT_EQ(warnings(), 0);
}

TEST_F(AFridge, ThatStaysWarmIsToldOnceWithinAFewHoursAndWithTheCaution) {
  world.run_for(1h);
  fridge.is(9.0_degC);
  const Instant broke = world.now();
  world.run_for(48h);
  ASSERT_EQ(warnings(), 1);
  const Announcement& told = world.the("fridge-too-warm");
  EXPECT_GT(told.time, broke + 1h);
  EXPECT_LT(told.time, broke + 4h);
  EXPECT_THAT(told.caution.value_or(""), HasSubstr("local food-safety advice"));
}

TEST_F(AFridge, ThatWarmsUpAgainAfterADayIsToldAgain) {
  fridge.is(9.0_degC);
  world.run_for(12h);
  fridge.is(4.0_degC);
  world.run_for(24h);
  fridge.is(9.0_degC);
  world.run_for(12h);
  EXPECT_EQ(warnings(), 2);
}

class ARoom : public OneJar {
 protected:
  [[nodiscard]] auto told_of_the_room(const std::string& kind) {
    const auto kinds = world.told_of("place-kitchen");
    return std::count(kinds.begin(), kinds.end(), kind);
  }
};

TEST_F(ARoom, InAWeekOfHotAfternoonsIsToldOnce) {
  world.does(start("blue"));
  for (int day = 0; day < 5; ++day) {
    room.is(33.0_degC);
    world.run_for(6h);
    room.is(26.0_degC);
    world.run_for(18h);
  }
  EXPECT_EQ(told_of_the_room("room-too-warm"), 1);
  EXPECT_THAT(world.the("room-too-warm").text, HasSubstr("cooler"));
}

TEST_F(ARoom, WithoutABatchIsNotCalledTooWarmOrTooCold) {
  room.is(34.0_degC);
  world.run_for(24h);
  room.is(8.0_degC);
  world.run_for(48h);
  EXPECT_EQ(told_of_the_room("room-too-warm"), 0);
  EXPECT_EQ(told_of_the_room("room-too-cold"), 0);
}

TEST_F(ARoom, ThatIsColdIsToldWhenABatchStartsInIt) {
  room.is(11.0_degC);
  world.run_for(12h);
  world.does(start("blue"));
  EXPECT_EQ(told_of_the_room("room-too-cold"), 1);
  EXPECT_THAT(world.the("room-too-cold").text, HasSubstr("warmer"));
}

TEST_F(ARoom, OfEighteenDegreesInWinterIsNoTrouble) {
  room.is(18.0_degC);
  world.does(start("blue"));
  world.run_for(40h);
  EXPECT_EQ(told_of_the_room("room-too-cold"), 0);
}

}  // namespace
}  // namespace wheymark::test
