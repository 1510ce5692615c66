// A press means what its presser did: what is left unsaid is taken as what makes sense, and said in
// the answer, so that it can be taken back.
#include <gtest/gtest.h>

#include "core/household/stock.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;

class Presses : public OneJar {
 protected:
  // What the answer says of it; the fact is kept.
  std::string understood(const Fact& fact, std::optional<std::string> ref = {}) {
    const auto decided = world.household().decide({fact, {}, ref}, world.now());
    EXPECT_TRUE(decided.ok()) << decided.why();
    world.does(fact, {}, ref);
    return decided ? decided.value().understood : "";
  }
  void works_for(std::chrono::hours hours) {
    world.does(start("blue"));
    world.run_for(hours);
  }
  [[nodiscard]] double ml_in(const JarId& jar) const {
    return world.state(jar).kefir_ml.value_or(0.0);
  }
  [[nodiscard]] Stock stock() { return stock_of(world.household(), world.now()); }
};

TEST_F(Presses, StartAfterADayIsStrainedAndFedAgain) {
  works_for(22h);
  const std::string answer = understood(start("blue"));
  EXPECT_THAT(answer, HasSubstr("strained and fed again"));
  EXPECT_THAT(answer, HasSubstr("950 mL of kefir came out of it; where is that now?"));
  EXPECT_EQ(jar().batch->started, world.now());
  EXPECT_EQ(jar().stage, Stage::working);
  world.run_for(1h);
  EXPECT_EQ(std::ranges::count(told(), std::string("strained")), 1);
  EXPECT_EQ(std::ranges::count(told(), std::string("batch-started")), 2);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(Presses, StartAgainWithinTheHourIsPressedTwice) {
  works_for(1h);
  const auto said = world.says(start("blue"));
  ASSERT_FALSE(said);
  EXPECT_THAT(said.why(), HasSubstr("strain or discard it first"));
}

TEST_F(Presses, OneRetractionTakesTheWholePressBack) {
  works_for(20h);
  const std::vector<std::string> before = world.all_bits();
  world.does(start("blue"), {}, "oops");
  world.does(Retract{"oops"});
  EXPECT_EQ(world.all_bits(), before);
  EXPECT_EQ(stock().without_bottle_ml, 0.0);
}

// All of the culture's grains, as they have grown, go into the fresh milk.
TEST_F(Presses, FedAgainTheGrainsAreThoseThatCameOut) {
  HouseholdSetup setup = small_setup();
  setup.jars[0].grain_g.reset();
  World home(setup);
  home.does(start("blue"));
  home.run_for(24h);
  home.does(start("blue"));
  const double again_g = *home.state("blue").batch->start.grain_g;
  EXPECT_GT(again_g, 20.0);
  EXPECT_LT(again_g, 24.0);
}

TEST_F(Presses, StoreOfAWorkingJarCoolsIt) {
  works_for(12h);
  EXPECT_THAT(understood(store("blue")), HasSubstr("grains are still in it"));
  EXPECT_EQ(jar().batch->place(), "fridge");
  EXPECT_TRUE(jar().batch->fermenting());
  EXPECT_FALSE(jar().kept);
  world.run_for(2h);
  const auto twice = world.says(store("blue"));
  ASSERT_FALSE(twice);
  EXPECT_THAT(twice.why(), HasSubstr("in the fridge already"));
  world.does(take_out("blue"));
  EXPECT_EQ(jar().batch->place(), "kitchen");
}

TEST_F(Presses, StoreOfAnEmptyBottleIsTheKefirThatWasStrainedLast) {
  works_for(22h);
  world.does(strain("blue"));
  world.run_for(5min);
  EXPECT_THAT(understood(store("bottle")),
              HasSubstr("filled with 950 mL of the kefir that was strained from Blue jar"));
  EXPECT_EQ(world.state("bottle").stage, Stage::fridge);
  EXPECT_EQ(ml_in("bottle"), 950.0);
  EXPECT_EQ(jar().stage, Stage::empty);
}

TEST_F(Presses, KefirThatMadeRoomForMilkIsStoredBottleByBottleAfterwards) {
  works_for(22h);
  world.does(strain("blue"));
  world.does(start("blue"));
  EXPECT_EQ(stock().without_bottle_ml, 950.0);
  world.run_for(10min);
  EXPECT_THAT(understood(store("flask")), HasSubstr("450 mL are left"));
  world.run_for(10min);
  world.does(store("bottle"));
  EXPECT_EQ(ml_in("flask"), 500.0);
  EXPECT_EQ(ml_in("bottle"), 450.0);
  EXPECT_EQ(stock().without_bottle_ml, 0.0);
  EXPECT_TRUE(jar().batch->fermenting());
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(Presses, KefirThatMadeRoomForMilkIsPouredAndFinishedByTheNameOfItsJar) {
  works_for(22h);
  world.does(start("blue"));
  world.run_for(1h);
  EXPECT_THAT(understood(Pour{"blue", {}}), HasSubstr("of the kefir that came out of Blue jar"));
  EXPECT_EQ(stock().without_bottle_ml, 750.0);
  world.does(Finish{"blue"});
  EXPECT_EQ(stock().without_bottle_ml, 0.0);
  EXPECT_TRUE(jar().batch->fermenting());
}

TEST_F(Presses, KefirThatNobodySpeaksOfIsUntoldOnceMoreCameOutOfTheJar) {
  works_for(22h);
  world.does(start("blue"));
  world.run_for(22h);
  EXPECT_FALSE(world.household().book().batches()[0].ended);
  world.does(start("blue"));
  EXPECT_EQ(world.household().book().batches()[0].ended->how, Ending::untold);
  EXPECT_EQ(stock().without_bottle_ml, 950.0);
}

TEST_F(Presses, AMoveOfKefirToTheFridgeAndBackIsStoreAndTake) {
  works_for(22h);
  world.does(strain_into("blue", "bottle"));
  EXPECT_EQ(understood(Move{"bottle", "fridge"}), "it is taken as store");
  EXPECT_TRUE(world.state("bottle").kept);
  EXPECT_EQ(understood(Move{"bottle", "kitchen"}), "it is taken as take");
  EXPECT_FALSE(world.state("bottle").batch->in_fridge);
}

// --- told late ----------------------------------------------------------------------------------

TEST_F(Presses, ALateStrainingMakesWhatWasSaidOfTheJarSinceThatOfItsKefir) {
  works_for(22h);
  const Instant strained_at = world.now();
  world.run_for(2h);
  world.does(PhMeasured{"blue", 4.3});
  world.does(SignSeen{"blue", Sign::whey_layer});
  world.run_for(1h);
  world.does(strain_into("blue", "bottle"), strained_at);
  EXPECT_EQ(ml_in("bottle"), 950.0);
  EXPECT_EQ(world.state("bottle").batch->observations.size(), 2u);
  world.does(store("bottle"));
  world.does(start("blue"));
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(Presses, AJarThatWasCooledAndTurnsOutToBeStrainedIsStoredKefir) {
  works_for(22h);
  const Instant strained_at = world.now();
  world.run_for(1h);
  world.does(store("blue"));
  world.run_for(1h);
  world.does(strain("blue"), strained_at);
  EXPECT_EQ(jar().stage, Stage::fridge);
  EXPECT_NEAR(jar().kept->age_d, 1.0 / 24.0, 0.01);
}

TEST_F(Presses, AJarThatWasDiscardedAndTurnsOutToBeStrainedLosesItsKefir) {
  works_for(22h);
  const Instant strained_at = world.now();
  world.run_for(1h);
  world.does(discard("blue"));
  world.run_for(1h);
  world.does(strain_into("blue", "bottle"), strained_at);
  EXPECT_EQ(world.state("bottle").stage, Stage::empty);
  EXPECT_EQ(world.household().book().batches()[0].ended->how, Ending::discarded);
}

TEST_F(Presses, TwoStrainingsDoNotGoTogetherAndTheOtherIsNamed) {
  works_for(22h);
  const Instant early = world.now();
  world.run_for(2h);
  world.does(strain_into("blue", "bottle"), {}, "b-17");
  world.run_for(1h);
  const auto said = world.says(strain_into("blue", "flask"), early);
  ASSERT_FALSE(said);
  EXPECT_THAT(said.why(),
              HasSubstr("does not go with the strain of Tue 2 Mar 08:00 (ref \"b-17\")"));
  world.does(store("bottle"));  // and nothing after it is refused
}

}  // namespace
}  // namespace wheymark::test
