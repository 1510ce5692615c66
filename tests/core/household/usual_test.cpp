// People who know their grains say once what a batch usually takes, and the first forecast is
// theirs.
#include <cmath>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/household/report_answer.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

Usual tilly_takes(std::vector<UsualBatch> batches) {
  return {"tilly", std::move(batches)};
}

struct Opens {
  double hours;    // after the start
  double width_h;  // of the 80 % interval
};

Opens first_batch_in(World& world) {
  const Instant started = world.now();
  world.does(start("blue"));
  world.run_for(1min);
  const InstantSpread opens = world.state("blue").forecast.peak_opens;
  return {hours_between(started, *opens.p50), hours_between(*opens.p10, *opens.p90)};
}

std::string answer_in(World& world, const Fact& fact) {
  const auto accepted = world.household().decide({fact, std::nullopt, std::nullopt}, world.now());
  return accepted ? answer_to(accepted.value().record, world.household()) : accepted.why();
}

TEST(AUsualBatch, MakesTheFirstForecastNearlyAsToldAndHalfAsWide) {
  World silent;
  silent.run_for(25h);
  const Opens without = first_batch_in(silent);

  for (const double told_h : {16.0, 36.0}) {
    World world;
    world.run_for(25h);
    world.does(tilly_takes({{told_h, 20.0}}));
    const Opens with = first_batch_in(world);
    EXPECT_NEAR(with.hours, told_h, 0.2 * std::abs(without.hours - told_h))
        << "rounded, and from memory";
    EXPECT_LT(with.width_h / with.hours, 0.6 * without.width_h / without.hours);
  }
}

TEST(AUsualBatch, OfAnotherRoomOrLoadIsTakenAsThere) {
  World warm;
  warm.run_for(25h);
  warm.does(tilly_takes({{22.0, 26.0}}));
  World many;
  many.run_for(25h);
  many.does(tilly_takes({{22.0, 20.0, 80.0}}));
  World here;
  here.run_for(25h);
  here.does(tilly_takes({{22.0, 20.0}}));
  const Opens now = first_batch_in(here);
  const Opens from_the_warm = first_batch_in(warm);
  // By Q10 near 2 to 3, six kelvins are a factor of 1.5 to 2.
  EXPECT_GT(from_the_warm.hours, 1.35 * now.hours);
  EXPECT_LT(from_the_warm.hours, 2.0 * now.hours);
  EXPECT_GT(from_the_warm.width_h / from_the_warm.hours, now.width_h / now.hours);
  EXPECT_GT(first_batch_in(many).hours, 1.15 * now.hours) << "four times the grains are quicker";
}

TEST(AUsualBatch, WithoutARoomIsOfThePlacesOwnDays) {
  World told;
  told.room("kitchen").is(24.0_degC);
  told.run_for(25h);
  const FactRecord record = told.does(tilly_takes({{14.0}}));
  EXPECT_EQ(std::get<Usual>(record.fact).usual,
            (std::vector<UsualBatch>{{14.0, 24.0, 20.0, 950.0, p.milk_from_fridge_c}}));

  HouseholdSetup setup = small_setup();
  CultureSetup tilly = *setup.culture("tilly");
  tilly.usual = {{14.0}};
  setup.cultures = {tilly, *setup.culture("moor")};
  World configured(setup);
  configured.room("kitchen").is(24.0_degC);
  configured.run_for(25h);
  const Opens by_configuration = first_batch_in(configured);
  const Opens by_fact = first_batch_in(told);
  EXPECT_EQ(by_configuration.hours, by_fact.hours);
  EXPECT_EQ(by_configuration.width_h, by_fact.width_h);
  EXPECT_EQ(configured.all_bits_folded_again(), configured.all_bits());
}

TEST(AUsualBatch, MovesABatchThatRunsAndIsTheSameToTheBitWhenFoldedAgain) {
  World world;
  world.run_for(25h);
  world.does(start("blue"));
  world.run_for(3h);
  const InstantSpread before = world.state("blue").forecast.peak_opens;
  world.does(tilly_takes({{40.0}}), {}, "from memory");
  EXPECT_GT(*world.state("blue").forecast.peak_opens.p50, *before.p50);
  EXPECT_EQ(world.all_bits_folded_again(), world.all_bits());

  world.run_for(1h);
  world.does(Retract{"from memory"});
  EXPECT_EQ(world.household().paces().of("tilly"), World().household().paces().of("tilly"));
  EXPECT_EQ(world.all_bits_folded_again(), world.all_bits());
}

TEST(AUsualBatch, ThatIsUndoneWasNeverTold) {
  World world;
  world.run_for(25h);
  const PaceBelief before = world.household().paces().of("tilly");
  world.does(tilly_takes({{40.0}}));
  ASSERT_NE(world.household().paces().of("tilly"), before);
  world.does(Undo{CultureId("tilly"), std::nullopt});
  EXPECT_EQ(world.household().paces().of("tilly"), before);
}

TEST(AUsualBatch, SaidTwiceCountsOnce) {
  World world;
  world.run_for(25h);
  world.does(tilly_takes({{22.0}}));
  const PaceBelief once = world.household().paces().of("tilly");
  world.does(tilly_takes({{22.0}, {22.0}}));
  EXPECT_EQ(world.household().paces().of("tilly"), once);
}

TEST(AUsualBatch, WeighsLittleOnceManyBatchesWereFollowed) {
  World world;
  world.run_for(25h);
  for (int batch = 0; batch < 8; ++batch) {
    world.does(start("blue"));
    world.run_for(20h);
    world.does(SignSeen{"blue", Sign::whey_pockets});
    world.does(strain("blue"));
    world.does(discard("blue"));
    world.run_for(4h);
  }
  const double before = world.household().paces().of("tilly").median();
  EXPECT_THAT(answer_in(world, tilly_takes({{30.0}})),
              HasSubstr("; batches that have shown it here count more"));
  world.does(tilly_takes({{30.0}}));
  EXPECT_NEAR(world.household().paces().of("tilly").median() / before, 1.0, 0.05);
}

TEST(AUsualBatch, ThatContradictsAnotherIsSaidSoAndLeavesTheForecastWide) {
  World world;
  world.run_for(25h);
  world.does(tilly_takes({{18.0, 20.0}}));
  const Fact other = tilly_takes({{48.0, 20.0}});
  EXPECT_THAT(answer_in(world, other), AllOf(HasSubstr("18 h at 20 °C"), HasSubstr("48 h at 20 °C"),
                                             HasSubstr("do not go together")));
  EXPECT_THAT(answer_in(world, tilly_takes({{20.0, 20.0}})), Not(HasSubstr("do not go together")));
  world.does(other);
  World silent;
  silent.run_for(25h);
  const Opens torn = first_batch_in(world);
  const Opens unknown = first_batch_in(silent);
  EXPECT_GT(torn.width_h / torn.hours, 0.8 * unknown.width_h / unknown.hours);
  EXPECT_GT(torn.hours, 18.0);
  EXPECT_LT(torn.hours, 48.0);
}

TEST(AUsualBatch, ThatNoGrainsTakeIsRefusedWithWhatIsAllowed) {
  World world;
  world.run_for(25h);
  EXPECT_THAT(answer_in(world, tilly_takes({{0.0}})), HasSubstr("0 h; allowed are 4 to 120 h"));
  EXPECT_THAT(answer_in(world, tilly_takes({{22.0}, {500.0}})), HasSubstr("500 h; allowed are 4"));
  EXPECT_THAT(answer_in(world, tilly_takes({{-22.0}})), HasSubstr("-22 h; allowed are 4 to 120 h"));
  EXPECT_THAT(answer_in(world, tilly_takes({{22.0, 60.0}})), HasSubstr("60 degC; allowed are 8"));
  EXPECT_THAT(answer_in(world, tilly_takes({{5.0, 9.0, 1.0, 5000.0}})),
              AllOf(HasSubstr("no grains that are known take 5 h at 9 °C with 1 g in 5 L")));
  EXPECT_THAT(answer_in(world, Usual{"tily", {{22.0}}}),
              HasSubstr("no culture is called \"tily\"; there are: tilly, moor"));
  EXPECT_EQ(world.household().paces().of("tilly"), World().household().paces().of("tilly"));
}

}  // namespace
}  // namespace wheymark::test
