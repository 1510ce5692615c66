// Does kefir in the fridge follow the rules of the calendar and of chemistry?
#include "core/kinetics/cold_storage.hpp"

#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;

TEST(ColdStorage, ADayAtFourDegreesIsADay) {
  EXPECT_DOUBLE_EQ(ageing_rate(4.0_degC, p), 1.0);
}

TEST(ColdStorage, AColderFridgeIsGivenNoCredit) {
  for (const double c : {-5.0, 0.0, 2.0, 3.9}) {
    EXPECT_DOUBLE_EQ(ageing_rate(Celsius(c), p), 1.0) << c;
  }
}

TEST(ColdStorage, AWarmerFridgeAgesByArrhenius) {
  // 64.3 kJ/mol from 4 to 10 degC: exp(64300 / 8.314 (1/277.15 - 1/283.15)) = 1.806 by hand.
  EXPECT_NEAR(ageing_rate(10.0_degC, p), 1.806, 0.002);
}

TEST(ColdStorage, WarmerIsNotYoungerAndNotLaterThanTheCalendar) {
  double before = 0;
  for (double c = -5; c <= 50; c += 0.5) {
    const double aged = ageing_rate(Celsius(c), p);
    EXPECT_GE(aged, 1.0) << c;
    EXPECT_GE(aged, before) << c;
    before = aged;
  }
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

// By brute force: what a bottle of 20 degC ages beyond the hours while it cools.
TEST(ColdStorage, ABottleFromTheTableIsOlderByWhatItAgedWhileItCooled) {
  constexpr double tau_h = 2.6;
  double beyond_h = 0.0;
  constexpr double step_h = 1e-3;
  for (double h = 0.5 * step_h; h < 60.0; h += step_h) {
    beyond_h += step_h * (ageing_rate(Celsius(4.0 + 16.0 * std::exp(-h / tau_h)), p) - 1.0);
  }
  EXPECT_NEAR(cooling_ages_h(20.0_degC, tau_h, p), beyond_h, 1e-4);
  EXPECT_EQ(cooling_ages_h(4.0_degC, tau_h, p), 0.0);
  EXPECT_EQ(cooling_ages_h(1.0_degC, tau_h, p), 0.0);
  EXPECT_TRUE(std::isnan(cooling_ages_h(Celsius(nan), tau_h, p)));
}

// C12H22O11 + H2O -> 4 C2H5OH + 4 CO2, by the molar masses. And by brewers' practice: 4 g of
// sucrose in a litre are a volume of gas, 1.96 g.
TEST(ColdStorage, SugarMakesNoMoreGasThanItsMatterAllows) {
  constexpr double most = 4.0 * 44.01 / 342.30;
  EXPECT_NEAR(sugar_carbon_dioxide_g_per_l(10.0, 1e4, Fizz::usual, p), 10.0 * most, 1e-3);
  EXPECT_NEAR(most, 1.96 / 4.0, 0.03);
  double before = 0.0;
  for (double days = 1.0; days < 40.0; ++days) {
    const double usual = sugar_carbon_dioxide_g_per_l(10.0, days, Fizz::usual, p);
    const double quick = sugar_carbon_dioxide_g_per_l(10.0, days, Fizz::quick, p);
    EXPECT_GT(usual, before) << days;
    EXPECT_GT(quick, usual) << days;
    EXPECT_LT(quick, 10.0 * most) << days;
    before = usual;
  }
}

TEST(ColdStorage, DoubtStaysVisibleAndNonsenseIsOurMistake) {
  EXPECT_TRUE(std::isnan(ageing_rate(Celsius(nan), p)));
  EXPECT_TRUE(std::isnan(cold_state(cow_milk(), 7.0, nan, p).ph));
  EXPECT_THROW((void)cold_state(cow_milk(), -1.0, 1, p), BrokenCheck);
  EXPECT_THROW((void)cold_state(cow_milk(), 7.0, -1, p), BrokenCheck);
}

TEST(ColdStorage, AnImplausibleFridgeIsNotExtrapolated) {
  for (const double c : {-5.1, 50.1, -80.0, 85.0}) {
    EXPECT_THROW((void)ageing_rate(Celsius(c), p), BrokenCheck) << c;
  }
}

}  // namespace
}  // namespace wheymark
