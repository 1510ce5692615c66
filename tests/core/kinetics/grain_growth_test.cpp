// Growth of grains from batch to batch, against the published run and the trade.
#include "core/kinetics/grain_growth.hpp"

#include <cmath>
#include <gtest/gtest.h>

namespace wheymark {
namespace {

// International Journal of Microbiology 2020, 7019286, table 1: 10 g, then seven daily batches of
// 10 % in cow's milk at 25 degC. Wet grains on a scale scatter by some percent round a smooth
// growth.
TEST(GrainGrowth, FollowsThePublishedRunOfSevenBatches) {
  const double published_g[] = {11.17, 11.77, 12.84, 13.02, 13.47, 15.13, 15.76};
  double grain_g = 10.0;
  for (const double weighed_g : published_g) {
    grain_g *= 1.0 + grain_growth_per_batch * grown_share_of_batch(24.0);
    EXPECT_NEAR(grain_g, weighed_g, 0.06 * weighed_g);
  }
  EXPECT_NEAR(grain_g, 15.76, 0.1);  // the run as a whole, to a percent
}

// Common practice: grains double in one to two weeks of daily batches.
TEST(GrainGrowth, DoublesInOneToTwoWeeksOfDailyBatches) {
  EXPECT_GT(batches_to_double(grain_growth_per_batch), 7.0);
  EXPECT_LT(batches_to_double(grain_growth_per_batch), 14.0);
  // Ten per cent a batch doubles in ln 2 / ln 1.1 batches.
  EXPECT_NEAR(batches_to_double(0.10), 7.2725, 1e-4);
}

TEST(GrainGrowth, IsOverAfterADayAndNeverWithoutTime) {
  EXPECT_EQ(grown_share_of_batch(0.0), 0.0);
  EXPECT_EQ(grown_share_of_batch(12.0), 0.5);
  EXPECT_EQ(grown_share_of_batch(72.0), 1.0);
  EXPECT_TRUE(std::isinf(batches_to_double(0.0)));
  EXPECT_TRUE(std::isinf(batches_to_double(-0.1)));
}

TEST(GrainGrowth, DoubtStaysVisible) {
  EXPECT_TRUE(std::isnan(grown_share_of_batch(std::nan(""))));
  EXPECT_TRUE(std::isnan(batches_to_double(std::nan(""))));
}

}  // namespace
}  // namespace wheymark
