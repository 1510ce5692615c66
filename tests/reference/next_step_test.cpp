// Do the terms that were refused do what core/README.md says of them?
#include "tests/reference/next_step.hpp"

#include <gtest/gtest.h>
#include <sstream>

#include "tests/core/given.hpp"

namespace wheymark::published {
namespace {

// CHANGE ALARM, as for the other generated parts; build/release/tests/write-sensitivity writes it.
TEST(NextStep, TheCommittedTableIsCurrent) {
  std::stringstream text;
  text << std::ifstream(folder().parent_path().parent_path() / "core/README.md").rdbuf();
  EXPECT_EQ(text.str(), with_next_steps(text.str()));
}

TEST(NextStep, WithoutATermTheSecondWayAgreesWithTheLibrary) {
  Jar small;
  small.brew = {MilkKind::goat, Treatment::ultra_pasteurised, 400, 25};
  small.capacity_ml = 500;
  small.milk_c = 18;
  small.pace = 1.3;
  for (const double room_c : {17.0, 21.0, 29.0}) {
    Jar jar;
    jar.room_c = small.room_c = room_c;
    // Steps of half a minute and the midpoint rule: within a few seconds.
    EXPECT_NEAR(peak_h(jar, {}), peak_h(jar), 0.005) << room_c;
    EXPECT_NEAR(peak_h(small, {}), peak_h(small), 0.005) << room_c;
  }
  const Scores scores = scores_with({}, p);
  const auto published = foretold(p);
  const auto again = foretold_with({}, p);
  ASSERT_EQ(again.size(), published.size());
  for (std::size_t i = 0; i < again.size(); ++i) {
    EXPECT_NEAR(again[i].crps_h, published[i].crps_h, 1e-9) << published[i].source;
    EXPECT_NEAR(again[i].place, published[i].place, 1e-9) << published[i].source;
  }
  EXPECT_EQ(scores.sources, 16);
}

// Milk as warm as the room, warmed by W at a heat loss of C / tau: ends W tau / C warmer, so the
// batch is as fast as in a room that is as much warmer and lags by the time constant.
TEST(NextStep, HeatIntoTheMilkActsLikeAWarmerRoom) {
  Jar jar;
  jar.milk_c = jar.room_c = 20;
  jar.tau_factor = 0.05;  // so that the difference is there at once
  const double tau_h = jar.tau_factor * jar_time_constant_h(950, 1250, p);
  const double j_per_k = 950 * p.milk_density_g_per_ml * p.milk_specific_heat_j_per_g_k;
  MoreTerms heated;
  heated.heat_w = 2 * j_per_k / (tau_h * 3600);  // two kelvin
  Jar warmer = jar;
  warmer.milk_c = warmer.room_c = 22;
  EXPECT_NEAR(peak_h(jar, heated), peak_h(warmer, {}), 0.05);
}

// Without growth and inhibition in the way, a lag is itself: hours at 25 degC by the rate.
TEST(NextStep, ALagIsAddedWhole) {
  Jar jar;
  jar.milk_c = jar.room_c = 21;
  MoreTerms lag;
  lag.lag_clock_h = 3;
  EXPECT_NEAR(peak_h(jar, lag) - peak_h(jar, {}), 3 / acid_rate(Celsius(21), p), 0.01);
}

TEST(NextStep, EveryTermMovesThePeakTheWayItMust) {
  const double base_h = peak_h(Jar{}, {});
  MoreTerms growing, warm, cloth, gas;
  growing.grains_grow_a_day = 0.1;
  warm.heat_kj_a_mol = 60;
  cloth.heat_w = -0.1;
  gas.ph_by_gas = carbonated().ph_lower;
  for (const MoreTerms& faster : {growing, warm, gas}) EXPECT_LT(peak_h(Jar{}, faster), base_h);
  EXPECT_GT(peak_h(Jar{}, cloth), base_h);
}

// Henry's law at one atmosphere, 25 degC: 1.5 g/L of carbon dioxide, 34 mmol/L (sander2023).
TEST(NextStep, SaturatedMilkTitratesAsAThirdOfAPerCentMore) {
  EXPECT_NEAR(carbonated().acidity_percent, 1.5 / 44.0 * 90.0 / 10, 0.01);
}

}  // namespace
}  // namespace wheymark::published
