// When to feed, with what, where: what is advised comes true in the household's own computation,
// and what cannot be advised is refused with the reason.
#include "core/advice/feeding.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/advice/advice_sentences.hpp"
#include "core/record/waking.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

class AFeeding : public ::testing::Test {
 protected:
  AFeeding() { world.run_for(48h); }  // two days of readings, until Wed 3 Mar 08:00

  [[nodiscard]] FeedingAdvice advice() {
    const auto found = advise_feeding(request, world.household(), world.now());
    if (!found) throw std::runtime_error(found.why());
    return found.value();
  }
  [[nodiscard]] std::string refusal() {
    const auto found = advise_feeding(request, world.household(), world.now());
    return found ? "it was not refused" : found.why();
  }
  // Four batches: each peak is reported when it comes, and strained with the verdict "right".
  void learn() {
    for (int batch = 0; batch < 4; ++batch) {
      world.does(start("blue"));
      while (!jar().hours_to_peak || *jar().hours_to_peak > 0.1) world.run_for(10min);
      world.does(SignSeen{"blue", Sign::whey_pockets});
      Strain right = strain("blue");
      right.verdict = Verdict::right;
      world.does(right);
      world.run_until(when_awake(world.now() + 1h, small_setup()));
    }
  }
  [[nodiscard]] JarState jar() const { return world.state("blue"); }

  World world;
  PlanRequest request{.jar = "blue"};
};

TEST_F(AFeeding, DoneAsAdvisedIsForecastByItsJarAsItWasPromised) {
  learn();
  world.room("larder").is(17.0_degC);
  world.run_for(2h);
  request.ready_by = world.now() + 30h;
  const Feeding best = advice().best.front();
  world.run_until(best.start);
  Start said = start("blue");
  said.grain_g = best.grain_g;
  said.milk_ml = best.milk_ml;
  said.place = best.place;
  world.does(said);

  // The jar's own forecast is computed otherwise: from its own curve, and from readings.
  const InstantSpread opens = jar().forecast.peak_opens;
  EXPECT_NEAR(hours_between(*best.opens.p50, *opens.p50), 0.0, 0.15);
  EXPECT_LT(*best.opens.p50, *request.ready_by);
  EXPECT_GT(*best.closes.p50, *request.ready_by - 2h);
  EXPECT_GT(best.chance, 0.6);
}

TEST_F(AFeeding, VariesOnlyWhatMayVary) {
  request.ready_by = world.now() + 25h;
  request.vary = {Varied::start};
  for (const Feeding& feeding : advice().best) {
    EXPECT_EQ(feeding.grain_g, 20.0);
    EXPECT_EQ(feeding.milk_ml, 950.0);
    EXPECT_EQ(feeding.place, "kitchen");
    EXPECT_TRUE(awake_at(feeding.start, small_setup()));
  }
  request.vary = {};
  ASSERT_EQ(advice().best.size(), 1u);
  EXPECT_EQ(advice().best.front().start, world.now());
  request.vary = {Varied::milk};
  request.milk_ml = 700.0;  // given, so there is nothing left to vary
  ASSERT_EQ(advice().best.size(), 1u);
  EXPECT_EQ(advice().best.front().milk_ml, 700.0);
}

TEST_F(AFeeding, IsAsUsualWhereThatIsGood) {
  learn();
  // At an hour at which the usual batch peaks by day, no change is worth it.
  world.room("kitchen").is(18.0_degC);
  const auto chance_now = [&] { return advice().usual.chance; };
  while (chance_now() < 0.97) world.run_for(1h);
  const Feeding best = advice().best.front();
  EXPECT_EQ(best.grain_g, 20.0);
  EXPECT_EQ(best.milk_ml, 950.0);
  EXPECT_EQ(best.place, "kitchen");
  EXPECT_THAT(advice_text(advice(), world.household(), world.now()),
              HasSubstr("no change is clearly"));
}

TEST_F(AFeeding, LessMilkMoreGrainsAndAWarmerRoomAreFaster) {
  request.vary = {};
  const Instant usual = *advice().usual.opens.p50;
  request.milk_ml = 500.0;
  EXPECT_LT(*advice().best.front().opens.p50, usual);
  request.milk_ml.reset();
  request.grain_g = 10.0;
  EXPECT_GT(*advice().best.front().opens.p50, usual);
  request.grain_g.reset();
  world.room("larder").is(24.0_degC);
  world.run_for(10min);
  request.place = "larder";
  EXPECT_LT(*advice().best.front().opens.p50, usual);
}

TEST_F(AFeeding, WaitsForTheGrainsInTheJar) {
  world.does(start("blue"));
  world.run_for(4h);
  const Instant opens = *jar().forecast.peak_opens.p50;
  const FeedingAdvice found = advice();
  EXPECT_EQ(found.grains_come_out_of, "blue");
  EXPECT_EQ(found.earliest, when_awake(opens, small_setup()));
  for (const Feeding& feeding : found.best) EXPECT_GE(feeding.start, found.earliest);
  EXPECT_THAT(why(found, world.household(), world.now()),
              HasSubstr("Blue jar is likely to be strained near"));
}

TEST_F(AFeeding, SaysSoWhenNothingIsGood) {
  request.ready_by = world.now() + 4h;  // no kefir in four hours
  const FeedingAdvice found = advice();
  EXPECT_LT(found.best.front().chance, 0.05);
  EXPECT_THAT(advice_text(found, world.household(), world.now()),
              AllOf(HasSubstr("No feeding makes it likely"), HasSubstr("1 %")));
}

TEST_F(AFeeding, LeavesOutRoomsWhoseThermometerCannotBeBelieved) {
  world.room("larder").thermometer_dies();
  world.run_for(2h);
  const FeedingAdvice found = advice();
  for (const Feeding& feeding : found.best) EXPECT_EQ(feeding.place, "kitchen");
  ASSERT_EQ(found.left_out.size(), 2u);  // the attic has none
  EXPECT_EQ(found.left_out.front().place, "larder");
  EXPECT_EQ(found.left_out.front().why, "its thermometer is silent");
}

TEST_F(AFeeding, IsRefusedWithWhatStandsInTheWay) {
  request.ready_by = world.now() - 1h;
  EXPECT_THAT(refusal(), AllOf(HasSubstr("ready_by is Wed 3 Mar 07:00, which is past"),
                               HasSubstr("it is Wed 3 Mar 08:00")));
  request.ready_by = world.now() + 24h * 6;
  EXPECT_THAT(refusal(), HasSubstr("too far ahead"));
  request = {.jar = "blu"};
  EXPECT_THAT(refusal(), HasSubstr("no jar is called \"blu\"; there are: blue, red"));
  request = {.culture = "tillie"};
  EXPECT_THAT(refusal(), HasSubstr("no culture is called \"tillie\"; there are: tilly, moor"));
  request = {.jar = "blue", .place = "cellar"};
  EXPECT_THAT(refusal(), HasSubstr("no place is called \"cellar\""));
  request = {.jar = "blue", .place = "fridge"};
  EXPECT_THAT(refusal(), HasSubstr("is a fridge"));
  request = {.jar = "blue", .milk_ml = 1300.0};
  EXPECT_THAT(refusal(), HasSubstr("1300 mL; allowed are 50 to 1250 mL"));
  request = {.jar = "blue", .grain_g = 60.0};
  EXPECT_THAT(refusal(), HasSubstr("grain_g is 60 g, but Tilly has about 20.0 g"));
  request = {.jar = "blue", .start_at = world.now() - 1h};
  EXPECT_THAT(refusal(), HasSubstr("start_at is Wed 3 Mar 07:00; allowed: from Wed 3 Mar 08:00"));
  request = {.jar = "blue", .place = "attic"};
  EXPECT_THAT(refusal(), HasSubstr("no thermometer has been read in Attic"));
  request = {};
  EXPECT_THAT(refusal(), HasSubstr("say which jar: blue, red"));
}

TEST_F(AFeeding, OfGrainsThatRestOrAreGoneIsRefused) {
  world.does(Rest{"tilly", {}});
  EXPECT_THAT(refusal(), HasSubstr("Tilly is resting in the fridge since Wed 3 Mar 08:00"));
  world.does(Wake{"tilly"});
  world.does(Spare{"tilly", SpareUse::given_away, {}, true});
  EXPECT_THAT(refusal(), HasSubstr("Tilly has no grains"));
}

TEST_F(AFeeding, AskedTwiceIsAnsweredTheSameAndChangesNothing) {
  const auto before = world.all_bits();
  const std::string first = advice_text(advice(), world.household(), world.now());
  EXPECT_EQ(advice_text(advice(), world.household(), world.now()), first);
  EXPECT_EQ(world.all_bits(), before);
}

// Common practice: the first batches after a rest are slow. The jar's own forecast takes that into
// account (see rest_test.cpp), so the plan before it must do so, too.
TEST_F(AFeeding, AfterARestIsPromisedAsSlowAsItsJarThenForecasts) {
  learn();
  world.does(Rest{"tilly", {}});
  world.run_for(24h * 10);
  world.does(Wake{"tilly"});
  request.vary = {};
  const Feeding usual = advice().usual;
  world.run_until(usual.start);
  world.does(start("blue"));
  EXPECT_NEAR(hours_between(*jar().forecast.peak_opens.p50, *usual.opens.p50), 0.0, 1.0);
}

}  // namespace
}  // namespace wheymark::test
