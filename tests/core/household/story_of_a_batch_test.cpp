// What is announced about a batch: everything once, in its order, in time, and nothing outdated.
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

class ABatch : public OneJar {
 protected:
  ABatch() { world.run_for(10min); }
  void expect_the_same_when_folded_again() {
    EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
  }
};

TEST_F(ABatch, IsToldFromStartToOverFermentedEachOnceAndInOrder) {
  world.does(start("blue"));
  world.run_for(120h);
  EXPECT_THAT(told(), ElementsAre("batch-started", "peak-near", "peak-open", "peak-closing",
                                  "over-fermented"));
  EXPECT_EQ(jar().stage, Stage::over_fermented);
  expect_the_same_when_folded_again();
}

TEST_F(ABatch, IsToldInTime) {
  world.does(start("blue"));
  world.run_for(72h);
  EXPECT_EQ(world.the("batch-started").time, morning + 10min);
  // In a constant room the forecast does not change: peak-near comes exactly the notice before.
  EXPECT_NEAR(hours_between(world.the("peak-near").time, world.the("peak-open").time), 2.0, 0.05);
  EXPECT_LT(world.the("peak-open").time, world.the("peak-closing").time);
  EXPECT_LT(world.the("peak-closing").time, world.the("over-fermented").time);
}

TEST_F(ABatch, ThatIsStrainedIsNoLongerWarnedOf) {
  world.does(start("blue"));
  world.run_for(4h);
  world.does(strain_into("blue", "bottle"));
  world.run_for(1h);
  world.does(store("bottle"));
  world.run_for(72h);
  EXPECT_THAT(told(), ElementsAre("batch-started", "strained"));
  EXPECT_THAT(world.told_of("jar-bottle"), ElementsAre("stored"));
  EXPECT_FALSE(world.state("bottle").progress_percent);
  expect_the_same_when_folded_again();
}

TEST_F(ABatch, ThatIsDiscardedIsNotTalkedAboutAnyMore) {
  world.does(start("blue"));
  world.run_for(4h);
  world.does(discard("blue"));
  world.run_for(72h);
  EXPECT_THAT(told(), ElementsAre("batch-started"));
  EXPECT_EQ(jar().stage, Stage::empty);
}

TEST_F(ABatch, ThatIsToldOnlyWhenItIsOverDoesNotWarnOfWhatHasPassed) {
  room.is(26.0_degC);
  world.run_for(80h);
  world.does(start("blue"), world.now() - 72h);
  EXPECT_THAT(told(), ElementsAre("batch-started", "over-fermented"));
  for (const Announcement& announcement : world.announcements()) {
    EXPECT_THAT(announcement.text, HasSubstr("it is told only now"));
  }
}

TEST_F(ABatch, InWhichPocketsWereSeenIsOpenThen) {
  world.does(start("blue"));
  world.run_for(16h);
  world.does(SignSeen{"blue", Sign::whey_pockets});
  EXPECT_THAT(told(), ElementsAre("batch-started", "peak-open"));
  EXPECT_GT(world.the("peak-open").time, world.now() - 1h);
  EXPECT_THAT(world.the("peak-open").text, HasSubstr("whey pockets were seen"));
  EXPECT_EQ(jar().stage, Stage::peak);
  // Earlier than thought: these grains are fast, so it will close earlier as well.
  EXPECT_GT(world.household().fermentation(*jar().batch)->pace().quantile(0.5), 1.1);
  world.run_for(72h);
  EXPECT_THAT(told(), ElementsAre("batch-started", "peak-open", "peak-closing", "over-fermented"));
}

TEST_F(ABatch, ThatLooksSlowerThanExpectedIsForecastLater) {
  world.does(start("blue"));
  world.run_for(12h);
  const Instant expected = *jar().forecast.peak_opens.p50;
  world.run_for(6h);
  world.does(SignSeen{"blue", Sign::still_milk});
  EXPECT_GT(*jar().forecast.peak_opens.p50, expected + 1h);
}

TEST_F(ABatch, InTheFridgeNeverPeaks) {
  Start cold = start("blue");
  cold.place = "fridge";
  world.does(cold);
  world.run_for(120h);
  EXPECT_THAT(told(), ElementsAre("batch-started"));
  EXPECT_THAT(world.the("batch-started").text, HasSubstr("no peak is in sight for days"));
  EXPECT_FALSE(jar().forecast.peak_opens.p50);
}

TEST_F(ABatch, MovedToTheFridgeBeforeItsPeakIsHeldThere) {
  world.does(start("blue"));
  world.run_for(12h);
  world.does(Move{"blue", "fridge"});
  world.run_for(120h);
  EXPECT_THAT(told(), Not(Contains("over-fermented")));
  EXPECT_NEAR(*jar().milk_c, 4.0, 0.1);
  expect_the_same_when_folded_again();
}

TEST_F(ABatch, AHotKitchenIsQuickerThanACoolOneByWhatTheClockSays) {
  const auto hours_to_open = [](Celsius air) {
    World of;
    of.room("kitchen").is(air);
    of.run_for(10min);
    of.does(start("blue"));
    of.run_for(96h);
    return hours_between(of.the("batch-started").time, of.the("peak-open").time);
  };
  const double hot_h = hours_to_open(28.0_degC);
  const double usual_h = hours_to_open(21.0_degC);
  const double cool_h = hours_to_open(17.0_degC);
  // Common practice: under half a day in summer heat, about a day at 20, far longer in the cold.
  EXPECT_GT(hot_h, 8.0);
  EXPECT_LT(hot_h, 16.0);
  EXPECT_GT(usual_h, 16.0);
  EXPECT_LT(usual_h, 32.0);
  EXPECT_GT(cool_h, 1.3 * usual_h);
}

// --- what is not known --------------------------------------------------------------------------

TEST_F(ABatch, WhereNoThermometerHangsHasNoForecastAndNothingMadeUp) {
  Start dark = start("blue");
  dark.place = "attic";
  world.does(dark);
  world.run_for(48h);
  EXPECT_THAT(told(), ElementsAre("batch-started"));
  EXPECT_THAT(world.the("batch-started").text, HasSubstr("No thermometer has been read there yet"));
  const JarState state = jar();
  EXPECT_EQ(state.stage, Stage::working);
  EXPECT_FALSE(state.progress_percent);
  EXPECT_FALSE(state.ph);
  EXPECT_FALSE(state.milk_c);
  EXPECT_FALSE(state.forecast.peak_opens.p50);
}

TEST_F(ABatch, WhereNoThermometerHangsIsStillWhatAPersonSees) {
  Start dark = start("blue");
  dark.place = "attic";
  world.does(dark);
  world.run_for(20h);
  world.does(SignSeen{"blue", Sign::set});
  EXPECT_EQ(jar().stage, Stage::set);
  world.does(SignSeen{"blue", Sign::whey_pockets});
  EXPECT_THAT(told(), ElementsAre("batch-started", "peak-open"));
}

TEST_F(ABatch, WhoseThermometerDiesIsFollowedWithTheLastReading) {
  World twin;
  twin.run_for(10min);
  for (World* each : {&world, &twin}) {
    each->does(start("blue"));
    each->run_for(6h);
  }
  room.thermometer_dies();  // the room stays as it is, so nothing is wrong with that
  for (World* each : {&world, &twin}) each->run_for(66h);
  EXPECT_THAT(told(), ElementsAre("batch-started", "peak-near", "peak-open", "peak-closing",
                                  "over-fermented"));
  // Nobody knows that the room stays as it is: the median over all its possible futures differs
  // from the one that comes, the more so the longer it is not measured.
  EXPECT_LT(std::chrono::abs(world.the("peak-open").time - twin.the("peak-open").time), 45min);
  EXPECT_NEAR(*jar().ph, *twin.state("blue").ph, 1e-3);
}

TEST_F(ABatch, IsCaughtUpWhenADeadThermometerComesBack) {
  world.does(start("blue"));
  world.run_for(6h);
  room.thermometer_dies();
  room.drifts_to(28.0_degC, 60min);
  world.run_for(3h);
  const double blind = *jar().milk_c;
  room.thermometer_works();
  world.run_for(3h);
  EXPECT_GT(*jar().milk_c, blind + 4.0);
  expect_the_same_when_folded_again();
}

TEST_F(ABatch, BegunBeforeTheFirstReadingIsForecastFromTheFirstOn) {
  World later;
  later.room("kitchen").thermometer_dies();
  later.does(start("blue"));
  later.run_for(30min);
  EXPECT_FALSE(later.state("blue").ph);
  later.room("kitchen").thermometer_works();
  later.run_for(72h);
  EXPECT_THAT(later.told_of("jar-blue"), ElementsAre("batch-started", "peak-near", "peak-open",
                                                     "peak-closing", "over-fermented"));
  EXPECT_EQ(later.all_bits(), later.all_bits_folded_again());
}

// --- what the past looked like ------------------------------------------------------------------

TEST_F(ABatch, ToldLateIsDescribedAsItWasThen) {
  room.is(22.0_degC);
  world.run_for(12h);
  Start warm = start("blue");
  warm.milk_c = 9.0;
  world.does(warm, world.now() - 8h);
  // At its start the milk was as reported, not as it is eight hours later.
  const auto& details = world.the("batch-started").details;
  const auto milk = std::find_if(details.begin(), details.end(),
                                 [](const Detail& detail) { return detail.name == "milk_c"; });
  ASSERT_NE(milk, details.end());
  EXPECT_EQ(std::get<double>(milk->value), 9.0);
}

TEST_F(ABatch, MilkWarmsTowardsTheRoomAndItsPhOnlyFalls) {
  world.does(start("blue"));
  double before_c = *jar().milk_c;
  double before_ph = *jar().ph;
  EXPECT_EQ(before_c, default_parameters().milk_from_fridge_c);
  for (int hour = 0; hour < 48; ++hour) {
    world.run_for(1h);
    EXPECT_GE(*jar().milk_c, before_c);
    EXPECT_LE(*jar().milk_c, 20.0);
    EXPECT_LE(*jar().ph, before_ph);
    before_c = *jar().milk_c;
    before_ph = *jar().ph;
  }
}

// --- sentences ----------------------------------------------------------------------------------

TEST_F(ABatch, StartedFromRawMilkOrFilledToTheBrimCarriesACaution) {
  Start raw = start("blue");
  raw.treatment = Treatment::raw;
  raw.milk_ml = 1200.0;  // of 1250
  world.does(raw);
  ASSERT_TRUE(world.the("batch-started").caution);
  EXPECT_THAT(*world.the("batch-started").caution, HasSubstr("Raw milk"));
  EXPECT_THAT(*world.the("batch-started").caution, HasSubstr("very full"));
}

TEST_F(ABatch, OrdinaryOnesCarryNoCautionUntilTheyAreOver) {
  world.does(start("blue"));
  world.run_for(96h);
  EXPECT_FALSE(world.the("batch-started").caution);
  EXPECT_FALSE(world.the("peak-open").caution);
  EXPECT_TRUE(world.the("over-fermented").caution);
}

TEST_F(ABatch, SentencesAreInTheHouseholdsOwnTime) {
  HouseholdSetup setup = small_setup();
  setup.utc_offset = [](Instant) { return std::chrono::minutes{330}; };  // India
  World there(setup);
  there.run_for(10min);
  there.does(start("blue"));
  EXPECT_THAT(there.the("batch-started").text,
              StartsWith("Blue jar: 20 g of Tilly went into 950 mL of whole cow's milk at 13:40 "
                         "(Kitchen). The peak should open near "));
}

TEST_F(ABatch, StoredTwiceIsKeptFromTheFirstDay) {
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  const Instant first = world.now();
  world.does(store("bottle"));
  world.run_for(24h);
  world.does(take_out("bottle"));
  world.run_for(2h);
  world.does(store("bottle"));
  EXPECT_THAT(world.told_of("jar-bottle"), ElementsAre("stored", "stored"));
  // Two and three weeks by common practice, from the first time, 2 Mar; two hours on the table and
  // the cooling after them cost some hours.
  EXPECT_THAT(world.the("stored").text, HasSubstr("Best by Tue 16 Mar, last day Tue 23 Mar."));
  EXPECT_THAT(world.announcements().back().text,
              AllOf(HasSubstr("Best by Mon 15 Mar, last day Mon 22 Mar."),
                    HasSubstr("first stored on Tue 2 Mar")));
  EXPECT_EQ(world.state("bottle").batch->stored.front().at, first);
}

TEST_F(ABatch, InTheFridgeAgesFromFreshToPastBest) {
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.does(store("bottle"));
  world.run_for(24h * 11);
  EXPECT_EQ(world.state("bottle").stage, Stage::fridge);
  world.run_for(24h * 2);
  EXPECT_EQ(world.state("bottle").stage, Stage::use_soon);  // two days before two weeks
  world.run_for(24h * 2);
  EXPECT_EQ(world.state("bottle").stage, Stage::past_best);
}

// --- many ---------------------------------------------------------------------------------------

TEST_F(ABatch, TwoJarsAndAFridgeDoNotMixUp) {
  world.does(start("blue"));
  world.run_for(5h);
  Start red = start("red");
  red.place = "larder";
  world.room("larder").is(27.0_degC);
  world.run_for(10min);
  world.does(red);
  world.run_for(16h);
  Strain half_a_litre = strain_into("red", "flask");
  half_a_litre.ml = 500.0;
  world.does(half_a_litre);
  world.does(store("flask"));
  world.run_for(60h);
  EXPECT_THAT(told(), ElementsAre("batch-started", "peak-near", "peak-open", "peak-closing",
                                  "over-fermented"));
  EXPECT_EQ(world.told_of("jar-red").front(), "batch-started");
  EXPECT_EQ(world.told_of("jar-red").back(), "strained");
  EXPECT_THAT(world.told_of("jar-flask"), ElementsAre("stored"));
  EXPECT_EQ(world.state("red").stage, Stage::empty);
  EXPECT_NEAR(*world.state("flask").milk_c, 4.0, 0.1);
  EXPECT_NEAR(*jar().milk_c, 20.0, 0.1);
  expect_the_same_when_folded_again();
}

TEST_F(ABatch, AfterAnotherInTheSameJarHasIdsOfItsOwn) {
  for (int i = 0; i < 3; ++i) {
    world.does(start("blue"));
    world.run_for(30h);
    world.does(strain_into("blue", "bottle"));
    world.run_for(30min);
    world.does(Finish{"bottle"});
  }
  const auto all = told();
  EXPECT_EQ(std::count(all.begin(), all.end(), "batch-started"), 3);
  EXPECT_EQ(std::count(all.begin(), all.end(), "strained"), 3);
}

}  // namespace
}  // namespace wheymark::test
