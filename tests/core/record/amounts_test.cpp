// How much kefir there is: strained into one bottle or several, mixed, poured, to the last glass.
//
// Expected amounts are sums that a person does in the kitchen: what goes in comes out.
#include <gtest/gtest.h>

#include "core/household/stock.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class Amounts : public OneJar {
 protected:
  // 950 mL of milk, and a day later its kefir.
  void strained(std::vector<Portion> into) {
    world.does(start("blue"));
    world.run_for(22h);
    world.does(Strain{"blue", std::move(into), {}, {}});
    world.run_for(5min);
  }
  [[nodiscard]] double ml_in(const JarId& jar) const {
    return world.state(jar).kefir_ml.value_or(0.0);
  }
  [[nodiscard]] double all_ml() { return stock_of(world.household(), world.now()).kefir_ml; }
};

TEST_F(Amounts, WhatIsStrainedIsTheMilkThatWentIn) {
  strained({{"bottle"}});
  EXPECT_EQ(ml_in("bottle"), 950.0);
  EXPECT_EQ(world.state("blue").stage, Stage::empty);
}

TEST_F(Amounts, WhatIsSaidOfTheStrainingCounts) {
  world.does(start("blue"));
  world.run_for(22h);
  Strain spilt = strain_into("blue", "bottle");
  spilt.ml = 800.0;
  world.does(spilt);
  EXPECT_EQ(ml_in("bottle"), 800.0);
}

TEST_F(Amounts, SeveralBottlesShareABatchAndNothingIsLost) {
  strained({{"flask", 300.0}, {"bottle"}});
  EXPECT_EQ(ml_in("flask"), 300.0);
  EXPECT_EQ(ml_in("bottle"), 650.0);
  EXPECT_EQ(all_ml(), 950.0);
}

TEST_F(Amounts, ABottleHoldsNoMoreThanItsCapacityAndTheRestStaysInTheJar) {
  strained({{"flask"}});  // of half a litre
  EXPECT_EQ(ml_in("flask"), 500.0);
  EXPECT_EQ(ml_in("blue"), 450.0);
  EXPECT_THAT(world.the("strained").text,
              HasSubstr("strained into Flask (500 mL); 450 mL stay in Blue jar"));
}

TEST_F(Amounts, OneStrainingIsToldOnceAndEachBottleIsStoredByItself) {
  strained({{"flask", 400.0}, {"bottle"}});
  world.does(store("flask"));
  world.run_for(48h);
  world.does(store("bottle"));
  world.run_for(1h);
  EXPECT_EQ(std::ranges::count(world.told_of("jar-blue"), std::string("strained")), 1);
  EXPECT_EQ(world.told_of("jar-flask").front(), "stored");
  EXPECT_EQ(std::ranges::count(world.told_of("jar-bottle"), std::string("stored")), 1);
  EXPECT_GT(world.state("flask").kept->age_d, 2.0);
  EXPECT_LT(world.state("bottle").kept->age_d, 0.1);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(Amounts, TheBottlesOfABatchHaveItsHistory) {
  strained({{"flask", 400.0}, {"bottle"}});
  ASSERT_TRUE(world.state("flask").ph && world.state("bottle").ph);
  EXPECT_NEAR(*world.state("bottle").ph, *world.state("flask").ph, 0.001);
  EXPECT_EQ(world.state("flask").batch->started, world.state("bottle").batch->started);
}

// The culture is as wise after one bottle as after two.
TEST_F(Amounts, ABatchInTwoBottlesTeachesItsCultureOnce) {
  const auto pace_after = [](std::vector<Portion> into) {
    World home;
    home.does(start("blue"));
    home.run_for(15h);
    home.does(SignSeen{"blue", Sign::whey_pockets});
    home.run_for(1h);
    home.does(Strain{"blue", std::move(into), Verdict::right, {}});
    home.run_for(1h);
    return std::pair(home.household().paces().of("tilly").quantile(0.5),
                     home.household().paces().batches("tilly"));
  };
  EXPECT_EQ(pace_after({{"bottle"}}), pace_after({{"flask", 450.0}, {"bottle"}}));
}

TEST_F(Amounts, OntoOlderKefirAmountsAddUpAsFarAsTheBottleHoldsThem) {
  strained({{"bottle", 300.0}});
  EXPECT_EQ(ml_in("blue"), 650.0);
  world.does(Finish{"blue"});
  strained({{"bottle"}});  // 950 on 300, in a bottle of a litre
  EXPECT_EQ(ml_in("bottle"), 1000.0);
  EXPECT_EQ(ml_in("blue"), 250.0);
}

TEST_F(Amounts, IntoAFullBottleNothingGoesAndNothingIsLost) {
  HouseholdSetup setup = small_setup();
  setup.jars[0].capacity_ml = 1000.0;
  setup.jars[0].milk_ml = 1000.0;
  World full(setup);
  for (int batch = 0; batch < 2; ++batch) {
    full.does(start("blue"));
    full.run_for(22h);
    full.does(strain_into("blue", "bottle"));  // of a litre
  }
  EXPECT_EQ(full.state("bottle").kefir_ml, 1000.0);
  EXPECT_EQ(full.state("blue").kefir_ml, 1000.0);
}

TEST_F(Amounts, GlassesArePouredUntilTheLastOneEndsIt) {
  strained({{"bottle"}});
  world.does(store("bottle"));
  for (const double left_ml : {750.0, 550.0, 350.0, 150.0}) {
    world.run_for(6h);
    world.does(Pour{"bottle", {}});
    EXPECT_EQ(ml_in("bottle"), left_ml);
    EXPECT_EQ(world.state("bottle").stage, Stage::fridge);  // no take in between
  }
  world.does(Pour{"bottle", {}});
  EXPECT_EQ(world.state("bottle").stage, Stage::empty);
  EXPECT_EQ(world.household().book().batches().front().ended->how, Ending::finished);
}

TEST_F(Amounts, AJugMeasuresToATenthSoALittleMoreThanThereIsIsTheRest) {
  strained({{"bottle"}});
  world.does(Pour{"bottle", 1000.0});
  EXPECT_EQ(world.state("bottle").stage, Stage::empty);
}

TEST_F(Amounts, MuchMoreThanThereIsCannotBePoured) {
  strained({{"flask"}});
  const auto said = world.says(Pour{"flask", 700.0});
  ASSERT_FALSE(said);
  EXPECT_THAT(said.why(), HasSubstr("Flask holds about 500 mL"));
  EXPECT_THAT(said.why(), HasSubstr("say finish"));
  EXPECT_EQ(ml_in("flask"), 500.0);
}

TEST_F(Amounts, ABottleThatWasOpenedToPourIsVented) {
  strained({{"bottle"}});
  world.run_for(20h);  // on the counter, tightly closed
  const double before_kpa = world.state("bottle").pressure_kpa.value();
  world.does(Pour{"bottle", 100.0});
  EXPECT_GT(before_kpa, 1.0);
  EXPECT_LT(world.state("bottle").pressure_kpa.value(), 0.1 * before_kpa);
}

TEST_F(Amounts, OutAndBackAgainCountsTheWarmHoursAndLosesNothing) {
  strained({{"bottle"}});
  world.does(store("bottle"));
  for (int day = 0; day < 5; ++day) {
    world.run_for(22h);
    world.does(take_out("bottle"));
    world.does(Pour{"bottle", 100.0});
    world.run_for(2h);
    world.does(store("bottle"));
  }
  EXPECT_EQ(ml_in("bottle"), 450.0);
  EXPECT_NEAR(world.state("bottle").kept->age_d, 5.0, 0.01);
  // Five times two hours at room temperature are more than ten hours at 4 degC.
  EXPECT_GT(world.state("bottle").kept->effective_age_d, 5.2);
}

TEST_F(Amounts, ALatePourGoesToItsPlaceInTime) {
  strained({{"bottle"}});
  const Instant glass_at = world.now() + 1h;
  world.run_for(5h);
  world.does(Pour{"bottle", 300.0});
  world.does(Pour{"bottle", 500.0}, glass_at);
  EXPECT_EQ(ml_in("bottle"), 150.0);
}

// --- the stock ----------------------------------------------------------------------------------

TEST_F(Amounts, TwoGlassesADayAreThePaceAfterAWeek) {
  Instant day = world.now();
  for (int i = 0; i < 7; ++i, day += 24h) {
    strained({{"bottle"}});
    world.does(store("bottle"));
    world.does(Pour{"bottle", 400.0});
    world.run_until(day + 24h);
    world.does(Discard{"bottle", "for the dog"});  // is not drunk
  }
  const Stock stock = stock_of(world.household(), world.now());
  ASSERT_TRUE(stock.ml_per_d);
  EXPECT_NEAR(*stock.ml_per_d, 400.0, 70.0);  // seven glasses, the first six days ago
}

// 300 mL a day are drunk, 2100 mL are there: a week.
TEST_F(Amounts, AStockLastsAsLongAsThePaceSays) {
  HouseholdSetup setup = small_setup();
  setup.jars[0].capacity_ml = 5000.0;
  setup.jars[0].milk_ml = 4200.0;
  World vat(setup);
  vat.does(start("blue"));
  vat.run_for(24h);
  vat.does(strain("blue"));
  vat.does(store("blue"));
  for (int i = 0; i < 7; ++i) {
    vat.run_for(24h);
    vat.does(Pour{"blue", 300.0});
  }
  const Stock stock = stock_of(vat.household(), vat.now());
  EXPECT_EQ(stock.kefir_ml, 2100.0);
  EXPECT_NEAR(stock.ml_per_d.value(), 300.0, 1.0);
  EXPECT_NEAR(stock.lasts_d.value(), 7.0, 0.1);
  // Fed once a week: of 2100 mL, 1800 are left when the next batch is ready, and the week after
  // that drinks 2100.
  EXPECT_EQ(stock.milk_ml.value(), 300.0);
  EXPECT_THAT(stock_sentence(stock, setup), HasSubstr("about 7 days' worth at 300 mL a day"));
}

TEST_F(Amounts, KefirBeyondItsLastDayIsNoStock) {
  strained({{"bottle"}});
  world.does(store("bottle"));
  world.run_for(24h * 20);
  EXPECT_EQ(all_ml(), 950.0);
  world.run_for(24h * 2);
  EXPECT_EQ(all_ml(), 0.0);
  EXPECT_FALSE(stock_of(world.household(), world.now()).use_first);
}

TEST_F(Amounts, WhatMustNotBeTastedIsNoStockAndIsNotToBeUsed) {
  strained({{"bottle"}});
  world.does(store("bottle"));
  EXPECT_GT(stock_of(world.household(), world.now()).kefir_ml, 0.0);
  EXPECT_EQ(stock_of(world.household(), world.now()).use_first, JarId("bottle"));
  Inspect mould;
  mould.jar = "bottle";
  mould.mould = true;
  world.does(mould);
  const Stock stock = stock_of(world.household(), world.now());
  EXPECT_EQ(stock.kefir_ml, 0.0);
  EXPECT_EQ(stock.use_first, std::nullopt);
  EXPECT_EQ(stock_sentence(stock, small_setup()), "There is no kefir to drink.");
}

TEST_F(Amounts, WhoNeverSaysThatHeDrinksHasNoPace) {
  for (int i = 0; i < 6; ++i) {
    strained({{"bottle"}});
    world.does(discard("bottle"));
  }
  const Stock stock = stock_of(world.household(), world.now());
  EXPECT_FALSE(stock.ml_per_d || stock.lasts_d || stock.milk_ml);
  EXPECT_THAT(stock_sentence(stock, small_setup()), Not(HasSubstr("worth")));
}

}  // namespace
}  // namespace wheymark::test
