// Kefir whose grains are out: what it is called, where it stands, and how it goes on.
#include <gtest/gtest.h>

#include "core/kinetics/cold_storage.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

class Strained : public ::testing::Test {
 protected:
  World world;

  void is_strained() {
    world.does(start("blue"));
    world.run_for(20h);
    world.does(strain_into("blue", "bottle"));
  }
  [[nodiscard]] JarState bottle() const { return world.state("bottle"); }
};

TEST_F(Strained, KefirIsNeverAtItsPeakOrOverFermentedHoweverLongItStands) {
  is_strained();
  for (int hour = 0; hour < 24 * 6; ++hour) {
    EXPECT_EQ(bottle().stage, Stage::strained) << hour;
    EXPECT_FALSE(bottle().progress_percent);
    world.run_for(1h);
  }
  const auto kinds = world.told_of("jar-bottle");
  EXPECT_EQ(std::count(kinds.begin(), kinds.end(), "over-fermented"), 0);
}

TEST_F(Strained, KefirStandsWhereItWasStrainedUntilItIsStored) {
  is_strained();
  EXPECT_EQ(bottle().batch->place(), "kitchen");
  world.does(store("bottle"));
  EXPECT_EQ(bottle().batch->place(), "fridge");
  EXPECT_EQ(bottle().stage, Stage::fridge);
  world.does(take_out("bottle"));
  EXPECT_EQ(bottle().stage, Stage::strained);
}

TEST_F(Strained, KefirOnTheTableSoursOnButNotAsFastAsWithItsGrains) {
  World with_grains;
  with_grains.does(start("blue"));
  with_grains.run_for(44h);
  is_strained();
  const double ph_then = *bottle().ph;
  world.run_for(24h);
  EXPECT_LT(*bottle().ph, ph_then - 0.1);
  EXPECT_GT(*bottle().ph, *with_grains.state("blue").ph);
}

// Two weeks in the fridge by the closed form, once it is cold: what the cold adds levels off.
TEST_F(Strained, KefirInTheFridgeGetsSourerWeekByWeekAndLessEachWeek) {
  is_strained();
  world.does(store("bottle"));
  world.run_for(24h);
  const Buffering milk = cow_milk();
  const auto acid = [&] { return milk.acid_g_per_l(*bottle().ph); };
  const double at_first = acid();
  world.run_for(24h * 7);
  const double week = acid() - at_first;
  world.run_for(24h * 7);
  const double second_week = acid() - at_first - week;
  EXPECT_GT(week, 0.2);
  EXPECT_NEAR(second_week / week, std::exp(-7.0 / p.cold_acid_days), 0.01);
}

TEST_F(Strained, KefirInAFridgeThatNobodyMeasuresIsTakenAsInAUsualOne) {
  HouseholdSetup setup = small_setup();
  setup.places[3].has_thermometer = false;
  World unmeasured(setup);
  for (World* one : {&unmeasured, &world}) {
    one->does(start("blue"));
    one->run_for(20h);
    one->does(strain_into("blue", "bottle"));
    one->does(store("bottle"));
    one->run_for(24h * 5);
  }
  EXPECT_NEAR(*unmeasured.state("bottle").ph, *bottle().ph, 1e-6);
  EXPECT_FALSE(unmeasured.state("bottle").milk_c);  // that would be made up
  EXPECT_TRUE(bottle().milk_c);
}

// The bottle's dates go on whatever is known; how sour it is must wait for a first reading.
TEST_F(Strained, KefirOfAKitchenThatSpeaksLateIsKnownFromThenOn) {
  world.room("kitchen").thermometer_dies();
  is_strained();
  world.does(store("bottle"));
  world.run_for(24h * 2);
  EXPECT_FALSE(bottle().ph);
  EXPECT_TRUE(bottle().kept);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
  world.room("kitchen").thermometer_works();
  world.run_for(1h);
  EXPECT_TRUE(bottle().ph);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(Strained, KefirThatWasStrainedInItsOwnJarGoesOnThere) {
  world.does(start("blue"));
  world.run_for(20h + 2min);
  world.does(strain("blue"));
  world.run_for(3h);
  EXPECT_EQ(world.state("blue").stage, Stage::strained);
  EXPECT_GT(world.household().condition(*world.state("blue").batch, world.now())->cold_clock_h,
            3.0);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

}  // namespace
}  // namespace wheymark::test
