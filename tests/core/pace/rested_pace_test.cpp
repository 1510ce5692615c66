// Grains that have rested are slow at first; what their first batches show is not their own pace.
#include "core/pace/rested_pace.hpp"

#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/pace/bell.hpp"

namespace wheymark {
namespace {

constexpr double week_h = 7 * 24.0;
constexpr double z90 = 1.2815515655446004;  // tables of the normal distribution

TEST(RestedPace, TheFirstBatchTakesLongestAndTheFourthIsAsBeforeTheRest) {
  double before = rested_pace({1, week_h}).log_shift;
  // Common practice: up to half as long again.
  EXPECT_GT(std::exp(-before), 1.3);
  EXPECT_LT(std::exp(-before), 1.6);
  for (int batch = 2; batch <= 4; ++batch) {
    EXPECT_GT(rested_pace({batch, week_h}).log_shift, before) << batch;
    before = rested_pace({batch, week_h}).log_shift;
  }
  EXPECT_EQ(before, 0.0);
}

TEST(RestedPace, ALongerRestIsNoWorseThanAWeekAndAShortOneIsLittle) {
  EXPECT_EQ(rested_pace({1, 5 * week_h}).log_shift, rested_pace({1, week_h}).log_shift);
  EXPECT_NEAR(rested_pace({1, 0.1 * week_h}).log_shift, 0.1 * rested_pace({1, week_h}).log_shift,
              1e-12);
}

TEST(RestedPace, ABeliefIsMovedAndItsVarianceGrowsByThatOfTheRest) {
  const PaceBelief awake = PaceBelief::prior(1.1, 0.20);
  const PaceBelief rested = believed_after_rest(awake, {-0.40, 0.15});
  EXPECT_NEAR(std::log(rested.quantile(0.5)), std::log(1.1) - 0.40, 3e-3);
  // Variances of independent spreads add.
  const double sd = std::hypot(0.20, 0.15);
  EXPECT_NEAR(std::log(rested.quantile(0.9)), std::log(1.1) - 0.40 + z90 * sd, 5e-3);
}

TEST(RestedPace, ASlowFirstBatchSaysThatTheAwakeCultureIsAsItWas) {
  const PaceBelief vague = PaceBelief::prior(1.0, 0.8);
  const PaceEvidence slow = bell(-0.40, 0.10);
  const PaceBelief awake = vague.given(said_of_awake(slow, {-0.40, 0.20}));
  // A normal prior with a normal likelihood: both means are 0, and so is the posterior's.
  EXPECT_NEAR(std::log(awake.median()), 0.0, 0.01);
  EXPECT_LT(std::log(vague.given(slow).median()), -0.35);
}

}  // namespace
}  // namespace wheymark
