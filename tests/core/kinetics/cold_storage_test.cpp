// Does kefir in the fridge keep the rules of the calendar and of chemistry?
#include "core/kinetics/cold_storage.hpp"

#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;

TEST(ColdStorage, ADayAtFourDegreesIsADay) {
  EXPECT_DOUBLE_EQ(effective_days(14, 4.0_degC, 4.0_degC, p), 14.0);
}

TEST(ColdStorage, AColderFridgeIsGivenNoCredit) {
  for (const double c : {-5.0, 0.0, 2.0, 3.9}) {
    EXPECT_DOUBLE_EQ(effective_days(10, Celsius(c), Celsius(c), p), 10.0) << c;
  }
  EXPECT_DOUBLE_EQ(effective_days(10, 0.0_degC, 4.0_degC, p), 10.0);
}

TEST(ColdStorage, AWarmerFridgeAgesByArrhenius) {
  // 64.3 kJ/mol from 4 to 10 degC: exp(64300 / 8.314 (1/277.15 - 1/283.15)) = 1.806 by hand.
  EXPECT_NEAR(effective_days(1, 10.0_degC, 10.0_degC, p), 1.806, 0.002);
}

TEST(ColdStorage, WarmerIsNotYoungerAndNotLaterThanTheCalendar) {
  double before = 0;
  for (double c = -5; c <= 50; c += 0.5) {
    const double aged = effective_days(1, Celsius(c), Celsius(c), p);
    EXPECT_GE(aged, 1.0) << c;
    EXPECT_GE(aged, before) << c;
    before = aged;
  }
}

TEST(ColdStorage, AChangingFridgeIsTheSumOfItsMoments) {
  // The midpoint rule on a hundred thousand steps; good to 1e-8 of the sum.
  const double ends[][2] = {{2, 9}, {9, 2}, {4, 8}, {-3, 3}, {5, 22}, {22, -5}};
  for (const auto& [from_c, to_c] : ends) {
    double sum = 0;
    const int steps = 100'000;
    for (int i = 0; i < steps; ++i) {
      sum += 3.0 / steps * ageing_rate(Celsius(std::lerp(from_c, to_c, (i + 0.5) / steps)), p);
    }
    EXPECT_NEAR(effective_days(3, Celsius(from_c), Celsius(to_c), p), sum, 1e-6) << from_c;
  }
}

TEST(ColdStorage, CuttingAStretchChangesNothing) {
  const double whole = effective_days(5, 2.0_degC, 12.0_degC, p);
  const double parts =
      effective_days(2, 2.0_degC, 6.0_degC, p) + effective_days(3, 6.0_degC, 12.0_degC, p);
  EXPECT_NEAR(whole, parts, 1e-6);
}

TEST(ColdStorage, KefirOnlyGetsSourerAndFizzier) {
  ColdState before = cold_state(cow_milk(), 7.0, 0, p);
  EXPECT_DOUBLE_EQ(before.ph, cow_milk().ph(7.0));
  EXPECT_EQ(before.carbon_dioxide_g_per_l, 0.0);
  for (double days = 1; days <= 60; ++days) {
    const ColdState now = cold_state(cow_milk(), 7.0, days, p);
    EXPECT_LT(now.ph, before.ph) << days;
    EXPECT_GT(now.acidity_percent, before.acidity_percent) << days;
    EXPECT_GT(now.carbon_dioxide_g_per_l, before.carbon_dioxide_g_per_l) << days;
    before = now;
  }
}

TEST(ColdStorage, OneEthanolComesWithEachCarbonDioxide) {
  const ColdState later = cold_state(cow_milk(), 7.0, 20, p);
  EXPECT_NEAR(later.ethanol_g_per_l / 46.07, later.carbon_dioxide_g_per_l / 44.01, 1e-12);
  // Two of each from a hexose, four from a lactose: never more than there is.
  EXPECT_LT(later.ethanol_g_per_l, 48 * 4 * 46.07 / 342.3);
}

TEST(ColdStorage, DoubtStaysVisibleAndNonsenseIsOurMistake) {
  EXPECT_TRUE(std::isnan(effective_days(1, Celsius(nan), 4.0_degC, p)));
  EXPECT_TRUE(std::isnan(effective_days(1, 4.0_degC, Celsius(nan), p)));
  EXPECT_TRUE(std::isnan(effective_days(nan, 4.0_degC, 4.0_degC, p)));
  EXPECT_TRUE(std::isnan(cold_state(cow_milk(), 7.0, nan, p).ph));
  EXPECT_THROW((void)effective_days(-1, 4.0_degC, 4.0_degC, p), BrokenCheck);
  EXPECT_THROW((void)cold_state(cow_milk(), -1.0, 1, p), BrokenCheck);
}

TEST(ColdStorage, AnImplausibleFridgeIsNotExtrapolated) {
  for (const double c : {-5.1, 50.1, -80.0, 85.0}) {
    EXPECT_THROW((void)ageing_rate(Celsius(c), p), BrokenCheck) << c;
    EXPECT_THROW((void)effective_days(1, 4.0_degC, Celsius(c), p), BrokenCheck) << c;
  }
}

}  // namespace
}  // namespace wheymark
