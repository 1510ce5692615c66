// Stuck, jumping, or in another unit: which readings must not be believed?
#include <cmath>
#include <gtest/gtest.h>
#include <numbers>

#include "core/air/swapped_unit.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

class ThermometersInDoubt : public OneJar {
 protected:
  ThermometersInDoubt() { room.thermometer_dies(); }

  void reads(double air_c) {
    world.run_for(5min);
    (void)world.hears("kitchen", Celsius(air_c));
  }
  // A day that swings by two kelvin, shown in steps.
  void shows_a_day(double step_k) {
    for (int i = 0; i < 24 * 12; ++i) {
      const double air_c = 20.0 + 2.0 * std::sin(2.0 * std::numbers::pi * i / (24 * 12));
      reads(step_k * std::round(air_c / step_k));
    }
  }
  [[nodiscard]] std::vector<std::string> told() const { return world.told_of("place-kitchen"); }
  [[nodiscard]] const Thermometer& thermometer() {
    return world.household().places().thermometer("kitchen");
  }
  [[nodiscard]] ThermometerStatus status() { return thermometer().status(world.now()); }
  [[nodiscard]] double kitchen_c() {
    return world.household().places().history("kitchen")->last()->air.degrees();
  }
};

// --- stuck --------------------------------------------------------------------------------------

TEST_F(ThermometersInDoubt, OneThatRepeatsItsLastValueForHoursIsToldOnceAndItsReturnOnce) {
  shows_a_day(0.1);
  for (int i = 0; i < 12 * 5; ++i) reads(21.7);
  EXPECT_EQ(status(), ThermometerStatus::good);
  for (int i = 0; i < 12 * 20; ++i) reads(21.7);
  EXPECT_EQ(status(), ThermometerStatus::stuck);
  EXPECT_THAT(told(), ElementsAre("thermometer-stuck"));
  EXPECT_THAT(world.the("thermometer-stuck").text, HasSubstr("Kitchen: the thermometer goes on"));
  reads(20.3);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told(), ElementsAre("thermometer-stuck", "thermometer-back"));
}

TEST_F(ThermometersInDoubt, OneThatShowsWholeDegreesMayRepeatItselfThroughAStillNight) {
  shows_a_day(1.0);
  for (int i = 0; i < 12 * 12; ++i) reads(20.0);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told(), IsEmpty());
}

TEST_F(ThermometersInDoubt, OneThatAlwaysSaidTheSameIsNotCalledStuck) {
  for (int i = 0; i < 12 * 72; ++i) reads(4.0);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told(), IsEmpty());
}

TEST_F(ThermometersInDoubt, SilenceBetweenTwoEqualReadingsIsNoSticking) {
  shows_a_day(0.1);
  for (int i = 0; i < 10; ++i) {
    world.run_for(12h);
    reads(20.0);
  }
  EXPECT_NE(status(), ThermometerStatus::stuck);
}

// --- jumping ------------------------------------------------------------------------------------

TEST_F(ThermometersInDoubt, ALoneJumpIsNotBelievedAndNobodyIsToldOfIt) {
  for (int i = 0; i < 12; ++i) reads(20.0);
  reads(38.0);
  EXPECT_EQ(kitchen_c(), 20.0);
  EXPECT_EQ(status(), ThermometerStatus::good);
  reads(20.1);
  EXPECT_EQ(kitchen_c(), 20.1);
  EXPECT_THAT(told(), IsEmpty());
}

TEST_F(ThermometersInDoubt, AJumpThatStaysIsBelievedWithTheNextReading) {
  for (int i = 0; i < 12; ++i) reads(20.0);
  reads(6.0);
  reads(6.3);
  EXPECT_EQ(kitchen_c(), 6.3);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told(), IsEmpty());
}

TEST_F(ThermometersInDoubt, OneThatJumpsAboutIsToldOnceAndIsBackAfterAQuietHour) {
  for (int i = 0; i < 12; ++i) reads(20.0);
  for (int i = 0; i < 6; ++i) {
    reads(i % 2 == 0 ? 36.0 : 2.0);
    reads(20.0);
    reads(20.0);
  }
  EXPECT_EQ(status(), ThermometerStatus::implausible);
  EXPECT_EQ(kitchen_c(), 20.0);
  EXPECT_THAT(told(), ElementsAre("thermometer-implausible"));
  EXPECT_THAT(world.the("thermometer-implausible").text, HasSubstr("jumps about"));
  for (int i = 0; i < 13; ++i) reads(20.0);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told(), ElementsAre("thermometer-implausible", "thermometer-back"));
}

TEST_F(ThermometersInDoubt, AWindowInWinterIsNoJump) {
  for (int i = 0; i < 12; ++i) reads(21.0);
  reads(14.0);  // seven kelvin in five minutes
  EXPECT_EQ(kitchen_c(), 14.0);
}

TEST_F(ThermometersInDoubt, AfterHoursOfSilenceAnyAirIsPossible) {
  reads(21.0);
  world.run_for(3h);
  reads(6.0);
  EXPECT_EQ(kitchen_c(), 6.0);
}

// --- another unit -------------------------------------------------------------------------------

// 1 degF is 1/1.8 K and 32 degF is 0 degC; 0 degC is 273.15 K.
TEST(SwappedUnit, ARoomInAnotherUnitIsRecognised) {
  const Celsius room(20.0);
  EXPECT_EQ(swapped_unit(Celsius(68.0), room)->numbers_are_in, "Fahrenheit");
  EXPECT_NEAR(swapped_unit(Celsius(68.0), room)->air.degrees(), 20.0, 1e-9);
  EXPECT_EQ(swapped_unit(Celsius(293.15), room)->numbers_are_in, "Kelvin");
  // 20 degC read as 20 degF, which is -6.67 degC; and as 20 K, which is -253.15 degC.
  EXPECT_EQ(swapped_unit(Celsius((20.0 - 32.0) / 1.8), room)->numbers_are_in, "Celsius");
  EXPECT_NEAR(swapped_unit(Celsius((20.0 - 32.0) / 1.8), room)->air.degrees(), 20.0, 1e-9);
  EXPECT_EQ(swapped_unit(Celsius(20.0 - 273.15), room)->numbers_are_in, "Celsius");
  EXPECT_EQ(swapped_unit(Celsius(68.0), std::nullopt)->numbers_are_in, "Fahrenheit");
}

TEST(SwappedUnit, WhatMakesNoSenseInAnyUnitIsNotExplained) {
  EXPECT_FALSE(swapped_unit(Celsius(85.0), Celsius(20.0)));  // a common sensor's value for a fault
  EXPECT_FALSE(swapped_unit(Celsius(-127.0), Celsius(20.0)));
  EXPECT_FALSE(swapped_unit(Celsius(std::nan("")), Celsius(20.0)));
}

TEST_F(ThermometersInDoubt, OneInFahrenheitIsNotBelievedAndTheSentenceNamesTheUnit) {
  for (int i = 0; i < 12; ++i) reads(20.0);
  for (int i = 0; i < 12; ++i) reads(68.5);
  EXPECT_EQ(kitchen_c(), 20.0);
  EXPECT_THAT(told(), ElementsAre("thermometer-implausible"));
  EXPECT_THAT(world.the("thermometer-implausible").text,
              HasSubstr("probably in Fahrenheit, which would be 20.3 °C"));
}

// 4 degC is 39.2 degF, which a kitchen's air could be.
TEST_F(ThermometersInDoubt, AFridgeInFahrenheitIsNotBelievedThoughARoomCouldBeSoWarm) {
  fridge.thermometer_dies();
  for (int i = 0; i < 12; ++i) {
    world.run_for(5min);
    (void)world.hears("fridge", Celsius(4.0));
  }
  for (int i = 0; i < 12; ++i) {
    world.run_for(5min);
    (void)world.hears("fridge", Celsius(39.2));
  }
  EXPECT_EQ(world.household().places().history("fridge")->last()->air.degrees(), 4.0);
  EXPECT_THAT(world.told_of("place-fridge"), ElementsAre("thermometer-implausible"));
}

// --- how much is not known ----------------------------------------------------------------------

TEST_F(ThermometersInDoubt, WhileAThermometerIsInDoubtTheAirIsKnownLessAndLess) {
  reads(20.0);
  EXPECT_EQ(thermometer().doubt_k(world.now()), 0.0);
  world.run_for(1h);
  const double after_an_hour_k = thermometer().doubt_k(world.now());
  EXPECT_GT(after_an_hour_k, 0.0);
  world.run_for(3h);
  EXPECT_GT(thermometer().doubt_k(world.now()), after_an_hour_k);
  world.run_for(48h);
  EXPECT_LE(thermometer().doubt_k(world.now()), 5.0) << "rooms are no ovens";
  reads(20.0);
  EXPECT_EQ(thermometer().doubt_k(world.now()), 0.0);
}

TEST_F(ThermometersInDoubt, AForecastWidensWhileItsThermometerIsSilentAndIsAsBeforeOnceItIsBack) {
  const auto hours_unknown = [&] {
    const InstantSpread opens = jar().forecast.peak_opens;
    return hours_between(*opens.p10, *opens.p90);
  };
  for (int i = 0; i < 24; ++i) reads(20.0);
  world.does(start("blue"));
  for (int i = 0; i < 12; ++i) reads(20.0);
  const double usual_h = hours_unknown();
  EXPECT_EQ(world.household().places().doubt_k("kitchen"), 0.0);
  world.run_for(2h);
  const double after_two_hours_h = hours_unknown();
  EXPECT_GT(after_two_hours_h, usual_h);
  world.run_for(4h);
  EXPECT_GT(hours_unknown(), after_two_hours_h);
  reads(20.0);
  EXPECT_LT(hours_unknown(), usual_h) << "seven hours have passed, and it speaks again";
}

TEST_F(ThermometersInDoubt, ABatchWhoseThermometerIsSilentSaysThatItIsLessSure) {
  reads(20.0);
  world.does(start("blue"));
  EXPECT_THAT(world.the("batch-started").text, Not(HasSubstr("less sure")));
  reads(20.0);
  world.run_for(48h);
  EXPECT_THAT(
      world.the("peak-near").text,
      HasSubstr("The thermometer there has said nothing new of late, so this is less sure"));
  EXPECT_THAT(world.the("thermometer-silent").text, HasSubstr("less and less surely"));
}

// --- the journal --------------------------------------------------------------------------------

TEST_F(ThermometersInDoubt, AHouseholdFoldedAgainDoubtsTheSame) {
  world.does(start("blue"));
  shows_a_day(0.1);
  reads(37.0);
  for (int i = 0; i < 5; ++i) reads(i % 2 == 0 ? 20.0 : 37.0 - i);
  for (int i = 0; i < 5; ++i) reads(68.0);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

}  // namespace
}  // namespace wheymark::test
