// How much grain there is: batch by batch, weighed, given away, split, rested.
#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

Spare spare(SpareUse use, double grain_g) {
  return {"tilly", use, grain_g, false};
}
Spare all_of_them(SpareUse use) {
  return {"tilly", use, std::nullopt, true};
}

// 10 to 15.76 g in seven daily batches: International Journal of Microbiology 2020, 7019286. The
// parameter is rounded, so these hold to a tenth of a percent a batch.
const double published = std::pow(15.76 / 10.0, 1.0 / 7.0) - 1.0;

class GrainsOfAHousehold : public ::testing::Test {
 protected:
  World world;

  [[nodiscard]] const Grains& grains(const CultureId& culture = "tilly") {
    return world.household().book().grains(culture);
  }
  [[nodiscard]] double grain_g(const CultureId& culture = "tilly") {
    const CultureSetup* known = world.household().setup().culture(culture);
    return world.household().book().grain_g(*known);
  }
  std::string refused(Fact fact) {
    const auto said = world.says(std::move(fact));
    return said.ok() ? "accepted" : said.why();
  }
  void a_batch(const JarId& jar = "blue", std::optional<double> came_out_g = {}) {
    world.does(start(jar));
    world.run_for(24h);
    Strain out = strain(jar);
    out.grain_g = came_out_g;
    world.does(out);
  }
};

TEST_F(GrainsOfAHousehold, AreWhatTheSetupSaysUntilSomebodyKnowsBetter) {
  EXPECT_EQ(grain_g(), 20.0);
  world.does(weigh(24.0));
  EXPECT_EQ(grain_g(), 24.0);
}

TEST_F(GrainsOfAHousehold, GrowFromBatchToBatch) {
  a_batch();
  EXPECT_NEAR(grain_g(), 20.0 * (1.0 + published), 0.02);
  // The jar is always given its 20 g, so each batch adds as much.
  a_batch();
  EXPECT_NEAR(grain_g(), 20.0 + 2 * 20.0 * published, 0.04);
}

TEST_F(GrainsOfAHousehold, AJarWithoutAMassOfItsOwnIsGivenAllThatIsAtHand) {
  HouseholdSetup setup = small_setup();
  setup.jars[0].grain_g.reset();
  world = World(setup);
  for (int batch = 0; batch < 7; ++batch) a_batch();
  // Seven daily batches: International Journal of Microbiology 2020, 7019286, 10 to 15.76 g.
  EXPECT_NEAR(grain_g(), 20.0 * 15.76 / 10.0, 0.2);
}

TEST_F(GrainsOfAHousehold, AreWhatWasWeighedWhenTheyCameOut) {
  a_batch("blue", 23.0);
  EXPECT_EQ(grain_g(), 23.0);
}

TEST_F(GrainsOfAHousehold, InAnotherJarStillCountWhenThisJarsAreWeighed) {
  world.does(start("red"));
  a_batch("blue", 22.0);
  EXPECT_EQ(grain_g(), 22.0 + 20.0);
}

TEST_F(GrainsOfAHousehold, AreAtLeastWhatIsInTheJars) {
  Start more = start("blue");
  more.grain_g = 60.0;
  world.does(more);
  EXPECT_EQ(grain_g(), 60.0);
  world.run_for(24h);
  world.does(strain("blue"));
  EXPECT_NEAR(grain_g(), 60.0 * (1.0 + published), 0.06);
}

TEST_F(GrainsOfAHousehold, WeighingsTeachHowFastTheyGrow) {
  world.does(weigh(20.0));
  for (int batch = 0; batch < 7; ++batch) {
    Start all = start("blue");
    all.grain_g = grain_g();
    world.does(all);
    world.run_for(24h);
    Strain out = strain("blue");
    out.grain_g = grain_g() * 1.10;  // faster than the published ones
    world.does(out);
  }
  // Seven batches of 10 % count as much as the seven published ones of 6.7 %.
  EXPECT_NEAR(grains().growth_per_batch(), 0.5 * (0.10 + published), 1e-3);
}

// A household that gives a jar all of its grains, so that these grow by the published share.
class AllGrainsInOneJar : public GrainsOfAHousehold {
 protected:
  AllGrainsInOneJar() {
    HouseholdSetup setup = small_setup();
    for (JarSetup& jar : setup.jars) jar.grain_g.reset();
    world = World(setup);
  }
  // The published run doubles in ln 2 / ln(15.76 / 10) of a week.
  const double published_d = 7.0 * std::log(2.0) / std::log(15.76 / 10.0);
  double doubling_d() { return grains().doubling_d(20.0); }
};

// Common practice: one to two weeks of daily batches.
TEST_F(AllGrainsInOneJar, DoubleInOneToTwoWeeksOfDailyBatchesAndLaterWhenFedSeldom) {
  for (int day = 0; day < 8; ++day) a_batch();
  EXPECT_NEAR(doubling_d(), published_d, 0.1);
  EXPECT_GT(doubling_d(), 7.0);
  EXPECT_LT(doubling_d(), 14.0);
  for (int batch = 0; batch < 7; ++batch) {
    a_batch();
    world.run_for(24h);
  }
  EXPECT_NEAR(doubling_d(), 2.0 * published_d, 0.2);
}

TEST_F(AllGrainsInOneJar, DoubleNoLaterForHavingRestedInBetween) {
  for (int day = 0; day < 4; ++day) a_batch();
  world.does(Rest{"tilly", {}});
  world.run_for(24h * 14);
  for (int day = 0; day < 3; ++day) a_batch();
  EXPECT_NEAR(doubling_d(), published_d, 0.1);
}

TEST_F(AllGrainsInOneJar, DoubleNoSoonerForStandingInTwoJars) {
  for (int day = 0; day < 5; ++day) {
    Start half = start("blue");
    half.grain_g = 0.5 * grain_g();
    world.does(half);
    half.jar = "red";
    world.does(half);
    world.run_for(24h);
    world.does(strain("blue"));
    world.does(strain("red"));
  }
  EXPECT_NEAR(doubling_d(), published_d, 0.1);
}

TEST_F(GrainsOfAHousehold, AWeighingThatNoGrowthExplainsTeachesNothing) {
  a_batch("blue", 60.0);
  EXPECT_EQ(grain_g(), 60.0);
  EXPECT_NEAR(grains().growth_per_batch(), published, 1e-3);
}

TEST_F(GrainsOfAHousehold, LeaveWhenTheyAreGivenAwayEatenFrozenOrDried) {
  world.does(weigh(40.0));
  world.does(spare(SpareUse::given_away, 10.0));
  world.does(spare(SpareUse::eaten, 2.0));
  world.does(spare(SpareUse::frozen, 5.0));
  world.does(spare(SpareUse::dried, 3.0));
  EXPECT_NEAR(grain_g(), 20.0, 1e-9);
}

TEST_F(GrainsOfAHousehold, MoreThanThereAreCannotBeTakenAway) {
  EXPECT_THAT(refused(spare(SpareUse::given_away, 21.0)),
              AllOf(HasSubstr("Tilly has about 20.0 g"), HasSubstr("21 g"), HasSubstr("weigh")));
  EXPECT_THAT(refused(Split{"tilly", "moor", 500.0}), HasSubstr("20.0 g"));
  EXPECT_THAT(refused(spare(SpareUse::eaten, 0.0)), HasSubstr("is 0 g; allowed are 0.1 to"));
  EXPECT_THAT(refused(spare(SpareUse::eaten, -4.0)), HasSubstr("-4"));
}

TEST_F(GrainsOfAHousehold, CanBeThrownAwayWholeAndOthersTakeTheName) {
  world.does(Inspect{"tilly", GrainColour::pink, {}, {}});
  ASSERT_TRUE(grains().suspected());
  world.does(all_of_them(SpareUse::thrown_away));
  EXPECT_EQ(grain_g(), 0.0);
  EXPECT_FALSE(grains().suspected());
  world.does(weigh(12.0));
  EXPECT_EQ(grain_g(), 12.0);
}

TEST_F(GrainsOfAHousehold, AMassThatIsAllThereIsMeansAllOfThem) {
  world.does(Inspect{"tilly", {}, GrainSmell::rotten, {}});
  world.does(spare(SpareUse::thrown_away, 20.0));
  EXPECT_FALSE(grains().suspected());
}

TEST_F(GrainsOfAHousehold, ZeroGramsAndTenKilogramsAreRefusedAsWeighings) {
  EXPECT_THAT(refused(weigh(0.0)), HasSubstr("is 0 g; allowed are 0.5 to 2000 g"));
  EXPECT_THAT(refused(weigh(10'000.0)), HasSubstr("is 10000 g; allowed are 0.5 to 2000 g"));
  EXPECT_EQ(grain_g(), 20.0);
}

TEST_F(GrainsOfAHousehold, SplitInTwoKnowWhereTheyCameFrom) {
  world.does(weigh(40.0));
  world.does(Split{"tilly", "moor", 15.0});
  EXPECT_EQ(grain_g("tilly"), 25.0);
  EXPECT_EQ(grain_g("moor"), 15.0);
  ASSERT_TRUE(grains("moor").parent());
  EXPECT_EQ(grains("moor").parent()->culture, "tilly");
  EXPECT_THAT(refused(Split{"tilly", "tilly", 5.0}), HasSubstr("cannot be split into itself"));
}

TEST_F(GrainsOfAHousehold, SplitOffAreWithoutMilkUntilTheirFirstBatch) {
  world.does(Split{"tilly", "moor", 10.0});
  world.run_for(30h);
  EXPECT_THAT(world.told_of("culture-moor"), ElementsAre("grains-hungry"));
  EXPECT_THAT(world.the("grains-hungry").text, HasSubstr("no milk told of since Mon 1 Mar 08:00"));
}

TEST_F(GrainsOfAHousehold, OfABatchThatWasGivenUpAreAskedAfterADay) {
  world.does(start("blue"));
  world.run_for(4h);
  world.does(discard("blue"));
  world.run_for(30h);
  EXPECT_THAT(world.told_of("culture-tilly"), ElementsAre("grains-hungry"));
  world.does(all_of_them(SpareUse::thrown_away));
  world.run_for(48h);
  EXPECT_THAT(world.told_of("culture-tilly"), ElementsAre("grains-hungry"));
}

TEST_F(GrainsOfAHousehold, AreToldTheMilkThatSuitsThoseOfTheJarNotOfAllJars) {
  world.does(weigh(60.0));
  a_batch("blue");
  // 20 g and a day's growth, at 20 g to 950 mL (common practice).
  const double jars_g = 20.0 * (1.0 + published);
  EXPECT_THAT(world.the("strained").text,
              HasSubstr(fmt::format("its {:.0f} g suit about {:.0f} mL", jars_g,
                                    10.0 * std::round(95.0 * jars_g / 20.0))));
}

TEST_F(GrainsOfAHousehold, ThatJoinAnotherCultureAddToItAndKeepNoParent) {
  world.does(Weigh{"moor", 15.0});
  world.does(Split{"tilly", "moor", 5.0});
  EXPECT_EQ(grain_g("moor"), 20.0);
  EXPECT_FALSE(grains("moor").parent());
}

TEST_F(GrainsOfAHousehold, RestAndWake) {
  EXPECT_THAT(refused(Wake{"tilly"}), HasSubstr("Tilly is not resting"));
  world.does(Rest{"tilly", {}});
  ASSERT_TRUE(grains().resting());
  EXPECT_EQ(grains().resting()->place, "fridge");
  world.run_for(72h);
  world.does(Rest{"tilly", {}});  // fresh milk
  EXPECT_EQ(hours_between(grains().resting()->since.at, grains().resting()->fed.at), 72.0);
  world.does(Wake{"tilly"});
  EXPECT_FALSE(grains().resting());
  EXPECT_EQ(grains().next_after_rest(), (AfterRest{1, 72.0}));
}

TEST_F(GrainsOfAHousehold, AreWokenByAStart) {
  world.does(Rest{"tilly", {}});
  world.run_for(72h);
  world.does(start("blue"));
  EXPECT_FALSE(grains().resting());
  EXPECT_EQ(grains().after_rest(), (AfterRest{1, 72.0}));
}

TEST_F(GrainsOfAHousehold, CannotRestWhileTheyWorkInAJar) {
  world.does(start("blue"));
  EXPECT_THAT(refused(Rest{"tilly", {}}), HasSubstr("Blue jar still has grains of Tilly"));
  EXPECT_THAT(refused(Rest{"moor", "kitchen"}), HasSubstr("\"kitchen\" is a room"));
}

TEST_F(GrainsOfAHousehold, StandTheSameWhenTheirFactsAreToldLateOrTakenBack) {
  world.run_for(1h);
  world.does(weigh(40.0), {}, "weighed");
  world.run_for(1h);
  world.does(spare(SpareUse::eaten, 30.0), {}, "eaten");
  EXPECT_THAT(refused(Retract{"weighed"}), HasSubstr("does not go with the spare"));
  world.does(Retract{"eaten"});
  EXPECT_EQ(grain_g(), 40.0);
  world.does(weigh(35.0), world.now() - 90min);  // earlier than the other weighing
  EXPECT_EQ(grain_g(), 40.0);
}

// --- jars and bottles ---------------------------------------------------------------------------

TEST_F(GrainsOfAHousehold, AJarIsDueForWashingAfterFourBatchesAndNotBefore) {
  const auto due = [&] { return world.household().book().care("blue").wash_due.has_value(); };
  for (int batch = 0; batch < 3; ++batch) a_batch();
  EXPECT_FALSE(due());
  a_batch();
  EXPECT_TRUE(due());
  world.does(start("blue"));
  EXPECT_THAT(refused(Wash{"blue"}), HasSubstr("Blue jar is not empty: it holds a batch since"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.does(Wash{"blue"});
  EXPECT_FALSE(due());
}

TEST_F(GrainsOfAHousehold, KefirIsFinishedOnceAndTheSecondTimeSaysWhen) {
  a_batch();
  world.does(Finish{"blue"});
  EXPECT_THAT(refused(Finish{"blue"}), AllOf(HasSubstr("Blue jar holds nothing"),
                                             HasSubstr("was finished Tue 2 Mar 08:00")));
  EXPECT_THAT(refused(strain("blue")), HasSubstr("start a batch first"));
}

TEST_F(GrainsOfAHousehold, ABatchPouredOntoOlderKefirIsMixedAndKeepsTheOlderDate) {
  a_batch("blue");
  world.does(Finish{"blue"});
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.does(store("bottle"));
  const Instant first_stored = world.now();
  world.does(start("blue"));
  world.run_for(24h);
  world.does(Pour{"bottle", 850.0});

  world.does(strain_into("blue", "bottle"));

  const Batch* bottle = world.household().book().in_jar("bottle");
  ASSERT_NE(bottle, nullptr);
  EXPECT_EQ(bottle->stored.front().at, first_stored);
  EXPECT_EQ(bottle->mixed.size(), 1u);
  EXPECT_EQ(world.household().book().in_jar("blue"), nullptr);
  EXPECT_EQ(world.household().book().batches().back().ended->how, Ending::mixed);
  // It was carried to the counter and back: storing it is no mistake, once.
  world.does(store("bottle"));
  EXPECT_THAT(refused(store("bottle")), HasSubstr("is in the fridge already"));
}

TEST_F(GrainsOfAHousehold, NothingIsStrainedOntoAJarThatStillHasItsGrains) {
  world.does(start("blue"));
  world.does(start("red"));
  EXPECT_THAT(refused(strain_into("blue", "red")),
              HasSubstr("Red jar holds a batch with its grains since"));
}

}  // namespace
}  // namespace wheymark::test
