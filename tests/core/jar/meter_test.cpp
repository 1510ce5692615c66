// A meter is believed: what it said is what is shown, at once and afterwards.
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

// A pH that was measured so many hours after the start.
World told(Milliseconds after, PhMeasured reading) {
  World world;
  world.does(start("blue"));
  world.run_for(after);
  world.does(reading);
  return world;
}

TEST(Meter, IsShownAtOnceWhateverWasComputed) {
  for (const auto& [after, ph] :
       {std::pair(Milliseconds(8h), 6.28), std::pair(Milliseconds(20h), 4.30),
        std::pair(Milliseconds(20h), 5.20), std::pair(Milliseconds(44h), 3.80),
        std::pair(Milliseconds(44h), 3.30)}) {
    World world = told(after, {"blue", ph});
    EXPECT_NEAR(*world.state("blue").ph, ph, 0.05) << ph;  // its usual error
  }
}

TEST(Meter, IsBelievedAfterwardsTheMilkSoursOnFromThere) {
  World low = told(20h, {"blue", 4.30});
  World high = told(20h, {"blue", 4.60});
  for (World* world : {&low, &high}) world->run_for(2h + 30min);
  EXPECT_LT(*low.state("blue").ph, 4.30);
  EXPECT_GT(*low.state("blue").ph, 4.10);
  EXPECT_LT(*high.state("blue").ph, 4.60);
  EXPECT_GT(*high.state("blue").ph, *low.state("blue").ph + 0.1);
  EXPECT_EQ(low.all_bits(), low.all_bits_folded_again());
}

TEST(Meter, ThatMayBeFurtherOffPullsLess) {
  World none;
  none.does(start("blue"));
  none.run_for(44h);
  const double computed = *none.state("blue").ph;
  const double told_ph = computed - 0.35;
  World good = told(44h, {"blue", told_ph});
  World poor = told(44h, {"blue", told_ph, 0.3});
  EXPECT_LT(std::abs(*good.state("blue").ph - told_ph), 0.03);
  EXPECT_GT(*poor.state("blue").ph, *good.state("blue").ph + 0.05);
  EXPECT_LT(*poor.state("blue").ph, computed);
}

TEST(Meter, OfTwoThatCannotBothBeTrueTheLaterIsBelieved) {
  World world = told(20h, {"blue", 4.20});
  world.run_for(5min);
  world.does(PhMeasured{"blue", 4.60});
  EXPECT_NEAR(*world.state("blue").ph, 4.60, 0.03);
}

TEST(Meter, OfTwoThatBothMayBeTrueTheMiddleIsShown) {
  World world = told(20h, {"blue", 4.30});
  world.run_for(1min);
  world.does(PhMeasured{"blue", 4.36});
  EXPECT_NEAR(*world.state("blue").ph, 4.33, 0.02);
}

TEST(Meter, IsBelievedOfStrainedKefirTooAndForWeeks) {
  const auto after_two_weeks = [](double ph) {
    World world;
    world.does(start("blue"));
    world.run_for(20h);
    world.does(strain_into("blue", "bottle"));
    world.does(store("bottle"));
    world.run_for(24h);
    world.does(PhMeasured{"bottle", ph});
    EXPECT_NEAR(*world.state("bottle").ph, ph, 0.02);
    world.run_for(24h * 14);
    EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
    return *world.state("bottle").ph;
  };
  const double from_high = after_two_weeks(4.60);
  const double from_low = after_two_weeks(4.40);
  EXPECT_LT(from_high, 4.60);
  EXPECT_LT(from_low, 4.40);
  EXPECT_NEAR(from_high - from_low, 0.20, 0.05);
}

TEST(Meter, ToldLateIsTheSameAsToldInTime) {
  const auto story = [](Milliseconds late) {
    World world;
    world.room("kitchen").drifts_to(23.0_degC, 900min);
    world.does(start("blue"));
    world.run_for(15h + 2min);
    const Instant measured = world.now();
    world.run_for(late);
    world.does(PhMeasured{"blue", 4.7}, measured);
    world.run_until(measured + 3h);
    return world.all_bits();
  };
  EXPECT_EQ(story(50min), story(0min));
}

TEST(Meter, WithAnErrorThatNoMeterHasIsRefusedWithWhatIsAllowed) {
  World world;
  world.does(start("blue"));
  for (const double error : {0.0, -0.1, 1.5, nan}) {
    const auto refused = world.says(PhMeasured{"blue", 4.5, error});
    ASSERT_FALSE(refused.ok()) << error;
    EXPECT_THAT(refused.why(), HasSubstr("0.01 to 1"));
  }
}

}  // namespace
}  // namespace wheymark::test
