// When is a thermometer believed, and when is its silence announced?
#include <cmath>
#include <gtest/gtest.h>

#include "core/basis/limits.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class Thermometers : public OneJar {
 protected:
  [[nodiscard]] std::vector<std::string> told_of_kitchen() const {
    return world.told_of("place-kitchen");
  }
  [[nodiscard]] ThermometerStatus status() {
    return world.household().places().thermometer("kitchen").status(world.now());
  }
  [[nodiscard]] double kitchen_c() {
    return world.household().places().history("kitchen")->last()->air.degrees();
  }
};

TEST_F(Thermometers, OneThatSpeaksIsGoodAndNotTalkedAbout) {
  world.run_for(24h);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told_of_kitchen(), IsEmpty());
}

TEST_F(Thermometers, OneThatDiesIsToldOnceAfterItsTimeAndItsReturnOnce) {
  world.run_for(2h);
  room.thermometer_dies();
  world.run_for(44min);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told_of_kitchen(), IsEmpty());
  world.run_for(2min);
  EXPECT_EQ(status(), ThermometerStatus::silent);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-silent"));
  EXPECT_EQ(world.the("thermometer-silent").time, morning + 2h + 45min);
  EXPECT_EQ(world.the("thermometer-silent")
                .text.find("Kitchen: the thermometer is silent; the last "
                           "reading was 20.0 °C at Mon 1 Mar 10:00."),
            0u);
  world.run_for(48h);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-silent"));
  room.thermometer_works();
  world.run_for(24h);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-silent", "thermometer-back"));
}

TEST_F(Thermometers, EachAbsenceHasItsOwnWordAndId) {
  for (int i = 0; i < 3; ++i) {
    room.thermometer_works();
    world.run_for(1h);
    room.thermometer_dies();
    world.run_for(1h);
  }
  EXPECT_THAT(told_of_kitchen(),
              ElementsAre("thermometer-silent", "thermometer-back", "thermometer-silent",
                          "thermometer-back", "thermometer-silent"));
}

TEST_F(Thermometers, AShortPauseIsNoAbsence) {
  world.run_for(1h);
  room.thermometer_dies();
  world.run_for(35min);
  room.thermometer_works();
  world.run_for(1h);
  EXPECT_THAT(told_of_kitchen(), IsEmpty());
}

TEST_F(Thermometers, SilenceThatNobodyCouldHearIsNotHeldAgainstIt) {
  world.run_for(1h);
  room.thermometer_dies();  // here the connection is gone
  world.run_for(30min);
  world.announcer().listen_from(world.now());
  EXPECT_EQ(status(), ThermometerStatus::good);
  world.run_for(44min);
  EXPECT_THAT(told_of_kitchen(), IsEmpty());
  EXPECT_EQ(status(),
            ThermometerStatus::silent);  // a reading of over an hour ago is not called good
  world.run_for(2min);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-silent"));
}

TEST_F(Thermometers, OneThatWasNeverReadIsSilentAndSaysSo) {
  room.thermometer_dies();
  world.run_for(1h);
  EXPECT_EQ(status(), ThermometerStatus::silent);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-silent"));
  EXPECT_THAT(world.the("thermometer-silent").text, HasSubstr("it has never been read"));
}

TEST_F(Thermometers, APlaceWithoutOneHasNoneAndIsNotMissed) {
  world.run_for(24h);
  EXPECT_EQ(world.household().places().thermometer("attic").status(world.now()),
            ThermometerStatus::none);
  EXPECT_THAT(world.told_of("place-attic"), IsEmpty());
}

// --- what cannot be -----------------------------------------------------------------------------

TEST_F(Thermometers, WhatCannotBeTrueIsNotBelievedAndToldOnce) {
  world.run_for(1h);
  room.thermometer_is_off_by(60.0_K);
  world.run_for(24h);
  EXPECT_EQ(status(), ThermometerStatus::implausible);
  EXPECT_EQ(kitchen_c(), 20.0);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-implausible"));
  room.thermometer_is_off_by(0.0_K);
  world.run_for(1h);
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-implausible", "thermometer-back"));
}

TEST_F(Thermometers, TheLimitsOfWhatCanBeAreThemselvesBelieved) {
  world.run_for(1h);
  EXPECT_TRUE(Thermometer::plausible(Celsius(limits::plausible_c_min)));
  EXPECT_TRUE(Thermometer::plausible(Celsius(limits::plausible_c_max)));
  EXPECT_FALSE(Thermometer::plausible(Celsius(std::nextafter(limits::plausible_c_min, -99.0))));
  EXPECT_FALSE(Thermometer::plausible(Celsius(std::nextafter(limits::plausible_c_max, 99.0))));
  EXPECT_FALSE(Thermometer::plausible(Celsius(std::nan(""))));
  EXPECT_FALSE(Thermometer::plausible(Celsius(HUGE_VAL)));
}

TEST_F(Thermometers, OneThatWasSilentAndThenImplausibleComesBackWithOneWord) {
  world.run_for(1h);
  room.thermometer_dies();
  world.run_for(1h);
  room.thermometer_works();
  room.thermometer_is_off_by(60.0_K);
  world.run_for(1h);
  room.thermometer_is_off_by(0.0_K);
  world.run_for(1h);
  EXPECT_THAT(told_of_kitchen(),
              ElementsAre("thermometer-silent", "thermometer-implausible", "thermometer-back"));
}

TEST_F(Thermometers, AnOldImplausibleReadingSaysNothingOfNow) {
  world.run_for(1h);
  const auto old = world.hears("kitchen", 85.0_degC, world.now() - 30min);
  ASSERT_FALSE(old);
  EXPECT_THAT(old.why(), HasSubstr("is not newer than the last, of Mon 1 Mar 09:00"));
  EXPECT_EQ(status(), ThermometerStatus::good);
  EXPECT_THAT(told_of_kitchen(), IsEmpty());
}

TEST_F(Thermometers, ADelayedGoodReadingDoesNotUndoANewerDoubt) {
  world.run_for(1h);
  room.thermometer_dies();
  world.run_for(10min);
  ASSERT_TRUE(world.hears("kitchen", 85.0_degC));
  EXPECT_FALSE(world.hears("kitchen", 21.0_degC, world.now() - 1min));
  EXPECT_EQ(status(), ThermometerStatus::implausible);
}

// --- when a reading was measured ----------------------------------------------------------------

TEST_F(Thermometers, ReadingsThatAreOutOfOrderOrTooCloseOrFromNowhereAreOfNoUse) {
  world.run_for(1h);
  EXPECT_FALSE(world.hears("kitchen", 21.0_degC));  // the same instant
  EXPECT_THAT(world.hears("kitchen", 21.0_degC, world.now() - 10min).why(),
              HasSubstr("not newer than the last"));
  world.run_for(4s);
  EXPECT_THAT(world.hears("kitchen", 21.0_degC).why(), HasSubstr("closer than 5 s"));
  world.run_for(1s);
  EXPECT_TRUE(world.hears("kitchen", 21.0_degC));
  world.run_for(1min);
  EXPECT_THAT(world.hears("kitchen", 21.0_degC, world.now() - 73h).why(), HasSubstr("too old"));
  EXPECT_EQ(kitchen_c(), 21.0);
}

TEST_F(Thermometers, AReadingOfAnImpossibleTimeCountsAsOfNowWithDoubt) {
  world.run_for(1h);
  for (const Instant at : {Instant{}, world.now() + 8min}) {
    room.thermometer_dies();
    world.run_for(1min);
    ASSERT_TRUE(world.hears("kitchen", 21.0_degC, at));
    EXPECT_EQ(world.household().places().history("kitchen")->last()->at, world.now());
    world.household().weigh_all_thermometers(world.now());
    EXPECT_GT(world.household().places().doubt_k("kitchen"), 0.0);
  }
}

TEST_F(Thermometers, AReadingThatIsALittleAheadCountsAsOfNow) {
  world.run_for(1h);
  world.run_for(1min);
  ASSERT_TRUE(world.hears("kitchen", 21.0_degC, world.now() + 4min));
  EXPECT_EQ(world.household().places().history("kitchen")->last()->at, world.now());
  world.run_for(1h);  // and the next, by a right clock, is not refused
  EXPECT_EQ(kitchen_c(), 20.0);
}

// A device whose clock is an hour late (a summer time that it does not know) still sends readings.
TEST_F(Thermometers, OneWhoseClockIsLateIsNotCalledSilentAndBackAtEveryReading) {
  room.thermometer_dies();
  for (int i = 0; i < 100; ++i) {
    world.run_for(5min);
    ASSERT_TRUE(world.hears("kitchen", 20.0_degC, world.now() - 1h));
    EXPECT_EQ(status(), ThermometerStatus::good);
  }
  EXPECT_THAT(told_of_kitchen(), IsEmpty());
  world.run_for(46min);
  EXPECT_THAT(told_of_kitchen(), ElementsAre("thermometer-silent"));
}

}  // namespace
}  // namespace wheymark::test
