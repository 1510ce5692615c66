// What to do with a running jar: what is advised comes true, and nothing is advised for the night.
#include "core/advice/steering.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/advice/advice_sentences.hpp"
#include "core/advice/explanation.hpp"
#include "core/record/waking.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

class ARunningJar : public OneJar {
 protected:
  ARunningJar() { world.run_for(48h); }

  [[nodiscard]] SteeringAdvice advice() {
    const auto found = advise_steering(request, world.household(), world.now());
    if (!found) throw std::runtime_error(found.why());
    return found.value();
  }
  // The pace is well known from a pH, and the peak comes in the middle of the night.
  void peaks_at_night() {
    world.run_for(6h);  // until 14:00
    Start warm = start("blue");
    warm.milk_c = 20.0;
    world.does(warm);
    room.is(23.0_degC);
    world.run_for(5h);
    world.does(SignSeen{"blue", Sign::thickened});
    world.run_for(1h);
    const Instant opens = *jar().forecast.peak_opens.p50;
    ASSERT_FALSE(awake_at(opens, small_setup())) << hours_between(world.now(), opens);
  }

  PlanRequest request{.jar = "blue"};
};

TEST_F(ARunningJar, IsCooledOverNightAndThenForecastAsItWasPromised) {
  peaks_at_night();
  const SteeringAdvice found = advice();
  const Way best = found.best.front();
  EXPECT_NE(best.step, Remedy::leave);
  EXPECT_GT(best.chance, found.left.chance + 0.1);
  ASSERT_TRUE(best.at.has_value());
  EXPECT_TRUE(awake_at(*best.at, small_setup()));
  world.run_until(*best.at);
  world.does(Move{"blue", best.place});
  if (best.until) {
    EXPECT_TRUE(awake_at(*best.until, small_setup()));
    world.run_until(*best.until);
    world.does(Move{"blue", "kitchen"});
  }
  EXPECT_NEAR(hours_between(*best.opens.p50, *jar().forecast.peak_opens.p50), 0.0, 0.5);
  EXPECT_THAT(advice_text(found, world.household(), world.now()),
              HasSubstr("Left where it is, it would peak near"));
}

TEST_F(ARunningJar, IsStrainedWhenItsPeakWasSeen) {
  world.does(start("blue"));
  world.run_for(12h);
  world.does(SignSeen{"blue", Sign::whey_pockets});
  EXPECT_EQ(advice().best.front().step, Remedy::strain);
}

TEST_F(ARunningJar, IsNotAdvisedOnWithoutABatch) {
  const auto found = advise_steering(request, world.household(), world.now());
  ASSERT_FALSE(found.ok());
  EXPECT_THAT(found.why(), HasSubstr("Blue jar holds no batch with its grains"));
}

TEST_F(ARunningJar, TellsWhatEachReportChanged) {
  peaks_at_night();
  world.does(PhMeasured{"blue", 5.2});
  const auto explanation = explanation_of("blue", world.household(), world.now());
  ASSERT_TRUE(explanation.ok()) << explanation.why();
  ASSERT_EQ(explanation.value().reports.size(), 2u);
  // Each begins with the belief that the one before has left; the last ends with the present one.
  const auto& reports = explanation.value().reports;
  EXPECT_EQ(spread_of(reports[1].before).p50, spread_of(reports[0].after).p50);
  EXPECT_EQ(reports[1].after, world.household().fermentation(*jar().batch)->pace());
  EXPECT_EQ(reports[1].opens_after->p50, jar().forecast.peak_opens.p50);
  // A pH narrows what is believed of the pace.
  EXPECT_LT(spread_of(reports[1].after).p90 / spread_of(reports[1].after).p10,
            spread_of(reports[1].before).p90 / spread_of(reports[1].before).p10);
  // One reading each five minutes for six hours, the one at the start counted.
  ASSERT_EQ(explanation.value().readings.size(), 1u);
  EXPECT_NEAR(static_cast<double>(explanation.value().readings.front().readings), 72.0, 1.0);
  const auto lines = lines_of(explanation.value(), world.household(), world.now());
  EXPECT_THAT(lines,
              ::testing::Contains(HasSubstr("\"thickened\" at 19:00: it was expected to take")));
  EXPECT_THAT(lines, ::testing::Contains(HasSubstr("The peak opens ")));
}

TEST_F(ARunningJar, ReportsBeforeItBeganOrAfterItsGrainsCameOutAreRefusedWithBothTimes) {
  world.does(start("blue"));  // Wed 3 Mar 08:00
  const auto before = world.says(SignSeen{"blue", Sign::set}, world.now() - 2h);
  ASSERT_FALSE(before.ok());
  EXPECT_THAT(before.why(),
              HasSubstr("began at Wed 3 Mar 08:00; what was seen at Wed 3 Mar 06:00"));
  world.run_for(20h);
  world.does(strain("blue"));
  world.run_for(2h);
  const auto after = world.says(SignSeen{"blue", Sign::set});
  ASSERT_FALSE(after.ok());
  EXPECT_THAT(after.why(), HasSubstr("holds nothing with grains at Thu 4 Mar 06:00; its batch was "
                                     "strained at Thu 4 Mar 04:00"));
  world.does(Finish{"blue"});
  world.run_for(1h);
  const auto ended = world.says(PhMeasured{"blue", 4.2});
  ASSERT_FALSE(ended.ok());
  EXPECT_THAT(ended.why(),
              HasSubstr("holds nothing at Thu 4 Mar 07:00; its batch ended at Thu 4 Mar 06:00"));
}

}  // namespace
}  // namespace wheymark::test
