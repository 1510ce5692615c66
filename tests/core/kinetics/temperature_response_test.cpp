// Do the organisms respond to temperature as the published model says?
#include "core/kinetics/temperature_response.hpp"

#include <cmath>
#include <gtest/gtest.h>
#include <limits>

#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;

const CardinalTemperatures lactococcus{4.0_degC, 33.0_degC, 42.0_degC};

TEST(TemperatureResponse, TheRateAtACardinalTemperatureIsWhatItsNameSays) {
  EXPECT_DOUBLE_EQ(relative_rate(33.0_degC, lactococcus), 1.0);
  EXPECT_EQ(relative_rate(4.0_degC, lactococcus), 0.0);
  EXPECT_EQ(relative_rate(42.0_degC, lactococcus), 0.0);
  EXPECT_EQ(relative_rate(Celsius(-3), lactococcus), 0.0);
  EXPECT_EQ(relative_rate(60.0_degC, lactococcus), 0.0);
}

TEST(TemperatureResponse, TheFormulaWorkedByHandAgrees) {
  // [rosso1993] at 25 degC: (25-42)(25-4)^2 = -7497 over 29 (29 (-8) - (-9)(37 - 50)) = -10121.
  EXPECT_NEAR(relative_rate(25.0_degC, lactococcus), 7497.0 / 10121.0, 1e-14);
}

TEST(TemperatureResponse, ItRisesUpToTheBestAndFallsBeyond) {
  for (double c = 4.0; c < 41.9; c += 0.1) {
    const double step =
        relative_rate(Celsius(c + 0.1), lactococcus) - relative_rate(Celsius(c), lactococcus);
    const bool rises = step > 0.0;
    if (c < 32.8) {
      EXPECT_TRUE(rises) << c;
    }
    if (c > 33.0) {
      EXPECT_FALSE(rises) << c;
    }
  }
}

TEST(TemperatureResponse, ItIsFlatAtTheBest) {
  const double slope_per_k = (relative_rate(Celsius(33.0 + 1e-4), lactococcus) -
                              relative_rate(Celsius(33.0 - 1e-4), lactococcus)) /
                             2e-4;
  EXPECT_NEAR(slope_per_k, 0.0, 1e-6);
}

TEST(TemperatureResponse, BothClocksRunAtOneAtTheReferenceTemperature) {
  EXPECT_DOUBLE_EQ(acid_rate(Celsius(p.reference_c), p), 1.0);
  EXPECT_DOUBLE_EQ(gas_rate(Celsius(p.reference_c), p), 1.0);
}

TEST(TemperatureResponse, TheYeastsOfKefirFollowTheirPublishedActivationEnergy) {
  // Ethanol in full-fat milk with kefir grains: 64.3 kJ/mol (Gorsek and Zajsek 2010, abstract).
  // Within 15 %: an Arrhenius law has no best temperature, so the two can only agree well below.
  for (const double c : {18.0, 20.0, 22.0, 27.0}) {
    const double arrhenius = std::exp(64300.0 / 8.314 * (1.0 / 298.15 - 1.0 / (c + 273.15)));
    EXPECT_NEAR(gas_rate(Celsius(c), p) / arrhenius, 1.0, 0.15) << c;
  }
}

TEST(TemperatureResponse, YeastsMindTheColdLessThanTheBacteria) {
  // This is why there are two clocks: kefir kept cool is fizzier for its acid (common practice).
  EXPECT_GT(gas_rate(10.0_degC, p), acid_rate(10.0_degC, p));
}

TEST(TemperatureResponse, DoubtStaysVisible) {
  const Celsius nan(std::numeric_limits<double>::quiet_NaN());
  EXPECT_TRUE(std::isnan(relative_rate(nan, lactococcus)));
  EXPECT_TRUE(std::isnan(acid_rate(nan, p)));
  EXPECT_TRUE(std::isnan(gas_rate(nan, p)));
}

}  // namespace
}  // namespace wheymark
