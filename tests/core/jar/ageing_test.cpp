// How old stored kefir is: by the calendar at 4 degC, older when it was warmer, never younger.
#include "core/jar/ageing.hpp"

#include <gtest/gtest.h>

#include "core/household/stored_kefir.hpp"
#include "core/kinetics/cold_storage.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

double rate_at(Celsius fridge) {
  return ageing_rate(fridge, default_parameters());
}

class ABottle : public ::testing::Test {
 protected:
  World world;
  Room& fridge = world.room("fridge");
  Instant stored{};

  void is_stored() {
    world.does(start("blue"));
    world.run_for(20h);
    world.does(strain_into("blue", "bottle"));
    world.does(store("bottle"));
    stored = world.now();
  }
  [[nodiscard]] StoredKefir bottle() {
    return stored_kefir(world.household(), *world.household().book().in_jar("bottle"), world.now());
  }
  [[nodiscard]] std::vector<std::string> told() { return world.told_of("jar-bottle"); }
};

TEST_F(ABottle, InAFridgeAtFourDegreesKeepsTwoAndThreeWeeks) {
  is_stored();
  world.run_for(72h);
  EXPECT_NEAR(bottle().effective_age_d, 3.0, 1e-9);
  EXPECT_EQ(bottle().best_by, stored + std::chrono::days{14});
  EXPECT_EQ(bottle().last_day, stored + std::chrono::days{21});
}

TEST_F(ABottle, InAColderFridgeKeepsNoLongerThanTheCalendarSays) {
  fridge.is(1.0_degC);
  is_stored();
  world.run_for(72h);
  EXPECT_NEAR(bottle().effective_age_d, 3.0, 1e-9);
  EXPECT_EQ(bottle().best_by, stored + std::chrono::days{14});
}

TEST_F(ABottle, InAWarmFridgeIsOlderAndItsDatesComeSooner) {
  fridge.is(9.0_degC);
  is_stored();
  world.run_for(24h * 4);
  // Once the bottle is as warm as the fridge every hour counts as much.
  const double rate = rate_at(9.0_degC);
  EXPECT_NEAR(bottle().effective_age_d, 4.0 * rate, 0.15);
  EXPECT_LT(bottle().effective_age_d, 4.0 * rate);
  EXPECT_TRUE(bottle().shortened);
  // Fourteen days of 4 degC at this rate, to within the first day's doubt.
  EXPECT_NEAR(hours_between(stored, bottle().best_by) / 24.0, 14.0 / rate, 0.75);
  EXPECT_LT(bottle().last_day, stored + std::chrono::days{21});
}

TEST_F(ABottle, DatesDoNotWanderOnceTheFridgesWarmthIsKnown) {
  fridge.is(9.0_degC);
  is_stored();
  world.run_for(24h * 4);
  const Instant before = bottle().best_by;
  world.run_for(24h * 3);
  EXPECT_NEAR(hours_between(before, bottle().best_by), 0.0, 12.0);  // half a day of eight
}

TEST_F(ABottle, ADoorLeftOpenForAQuarterOfAnHourCostsItNearlyNothing) {
  is_stored();
  world.run_for(24h);
  fridge.is(15.0_degC);
  world.run_for(15min);
  fridge.is(4.0_degC);
  world.run_for(24h);
  EXPECT_NEAR(bottle().effective_age_d, 2.0 + 0.25 / 24.0, 0.02);
  EXPECT_EQ(bottle().best_by, stored + std::chrono::days{14});
  EXPECT_THAT(world.told_of("place-fridge"), Not(Contains("fridge-too-warm")));
}

TEST_F(ABottle, OnTheTableAgesByTheRoomAndGoesOnFromThere) {
  is_stored();
  world.run_for(24h);
  world.does(take_out("bottle"));
  world.run_for(24h);  // in a kitchen of 20 degC, after some hours of warming
  world.does(store("bottle"));
  const double out_d = bottle().effective_age_d - 1.0;
  EXPECT_GT(out_d, 0.7 * rate_at(20.0_degC));
  EXPECT_LT(out_d, rate_at(20.0_degC));
  EXPECT_LT(bottle().best_by, stored + std::chrono::days{10});
}

TEST_F(ABottle, AFridgeWithoutAThermometerGoesByTheCalendar) {
  HouseholdSetup setup = small_setup();
  setup.places[3].has_thermometer = false;
  world = World(setup);
  is_stored();
  world.run_for(24h * 5);
  EXPECT_NEAR(bottle().effective_age_d, 5.0, 1e-9);
}

TEST_F(ABottle, IsRemindedOfOnceBeforeAndAfterEachOfItsDates) {
  is_stored();
  world.run_for(24h * 30);
  const auto kinds = told();
  for (const auto* kind :
       {"best-by-near", "best-by-passed", "last-day-near", "last-day-passed", "vent-lid"}) {
    EXPECT_EQ(std::count(kinds.begin(), kinds.end(), kind), 1) << kind;
  }
  EXPECT_EQ(world.the("best-by-near").time, stored + std::chrono::days{12});
  EXPECT_EQ(world.the("best-by-passed").time, stored + std::chrono::days{14});
  EXPECT_EQ(world.the("last-day-near").time, stored + std::chrono::days{19});
  EXPECT_EQ(world.the("last-day-passed").time, stored + std::chrono::days{21});
  EXPECT_THAT(world.the("last-day-passed").caution.value_or(""), HasSubstr("throw it out"));
  EXPECT_EQ(world.state("bottle").stage, Stage::past_best);
}

TEST_F(ABottle, OnTheTableIsRemindedOfAsWell) {
  is_stored();
  world.run_for(24h * 10);
  world.does(Take{"bottle", {}});
  world.run_for(24h * 2);
  EXPECT_THAT(told(), Contains("best-by-passed"));
}

TEST_F(ABottle, WhoseStoringIsToldWhenItIsPastItsBestIsToldOnceAsThat) {
  fridge.is(7.0_degC);
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  const Instant then = world.now();
  world.run_for(24h * 13);
  world.does(store("bottle"), then + 1h);
  const Announcement& told_late = world.the("stored");
  EXPECT_THAT(told_late.text, HasSubstr("past its best since"));
  EXPECT_THAT(told_late.text, Not(HasSubstr("Best by")));
  EXPECT_THAT(told_late.caution.value_or(""), HasSubstr("throw it out"));
  EXPECT_THAT(told(), Not(Contains("best-by-passed")));
  world.run_for(24h * 10);
  EXPECT_THAT(told(), Contains("last-day-passed"));
}

TEST_F(ABottle, ThatIsGoneWhenItsStoringIsToldIsNotSaidToBeThere) {
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  const Instant then = world.now();
  world.run_for(24h);
  world.does(Finish{"bottle"});
  world.does(store("bottle"), then + 1h);
  EXPECT_THAT(world.the("stored").text, HasSubstr("it went to the fridge on"));
  EXPECT_THAT(world.the("stored").text, Not(HasSubstr("Best by")));
}

TEST_F(ABottle, ThatIsFinishedIsNotRemindedOf) {
  is_stored();
  world.run_for(24h * 3);
  world.does(Finish{"bottle"});
  world.run_for(24h * 25);
  EXPECT_THAT(told(), Not(Contains("best-by-near")));
}

TEST_F(ABottle, AgesTheSameWhetherItsReadingsAreFollowedOneByOneOrFoldedAgain) {
  fridge.drifts_to(9.0_degC, 4000min);
  is_stored();
  world.run_for(24h * 6 + 7min);
  const double once = bottle().effective_age_d;
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
  world.does(Weigh{"tilly", 22.0}, {}, "weighed");
  world.does(Retract{"weighed"});  // changes the past, but not this bottle
  EXPECT_EQ(bottle().effective_age_d, once);
}

TEST_F(ABottle, TheInventoryHasTheOldestFirst) {
  is_stored();
  world.does(start("blue"));
  world.run_for(24h);
  world.does(strain_into("blue", "flask"));
  world.does(store("flask"));
  world.run_for(24h);
  const auto shelf = inventory(world.household(), "fridge", world.now());
  ASSERT_EQ(shelf.size(), 2u);
  EXPECT_EQ(shelf[0].batch->jar(), "bottle");
  EXPECT_EQ(shelf[1].batch->jar(), "flask");
  EXPECT_TRUE(inventory(world.household(), "no-such-fridge", world.now()).empty());
}

// --- flavour ------------------------------------------------------------------------------------

TEST(Flavour, GetsSourerAndMaySeparateWhichIsUsual) {
  EXPECT_THAT(std::string(flavour_by_now(0.5)), HasSubstr("mild"));
  EXPECT_THAT(std::string(flavour_by_now(10.0)), HasSubstr("separate, which is usual"));
  EXPECT_THAT(std::string(flavour_by_now(30.0)), HasSubstr("very sour"));
}

}  // namespace
}  // namespace wheymark::test
