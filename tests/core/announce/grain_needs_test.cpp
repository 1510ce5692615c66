// Grains that are hungry, too many, resting, or of an unusual colour: what is announced, and once.
#include "core/household/grain_needs.hpp"

#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class ACulture : public OneJar {
 protected:
  [[nodiscard]] std::ptrdiff_t times(const std::string& kind) {
    const auto kinds = world.told_of("culture-tilly");
    return std::count(kinds.begin(), kinds.end(), kind);
  }
  [[nodiscard]] GrainsState state() {
    return grains_state(*world.household().setup().culture("tilly"), world.household(),
                        world.now());
  }
  void a_batch() {
    world.does(start("blue"));
    world.run_for(23h);
    world.does(strain("blue"));
    world.run_for(1h);
  }
};

TEST_F(ACulture, ThatIsFedEveryDayIsLeftAlone) {
  for (int day = 0; day < 6; ++day) a_batch();
  EXPECT_EQ(times("grains-hungry"), 0);
}

TEST_F(ACulture, WithoutMilkForADayIsHungryAndToldOnce) {
  a_batch();
  EXPECT_EQ(state(), GrainsState::idle);
  world.run_for(72h);
  EXPECT_EQ(times("grains-hungry"), 1);
  EXPECT_EQ(state(), GrainsState::hungry);
  world.does(start("blue"));
  EXPECT_EQ(state(), GrainsState::working);
}

TEST_F(ACulture, LongInUsedUpMilkIsHungry) {
  world.does(start("blue"));
  world.run_for(96h);
  EXPECT_EQ(times("grains-hungry"), 1);
  EXPECT_THAT(world.the("grains-hungry").text, HasSubstr("over-fermented"));
  EXPECT_GT(world.the("grains-hungry").time, world.the("over-fermented").time + 20h);
}

// Two jars, the second fed daily: the first one's grains starve all the same.
TEST_F(ACulture, StarvingInOneJarIsToldOfThoughASisterJarIsFed) {
  world.does(start("red"));
  for (int day = 0; day < 4; ++day) a_batch();
  EXPECT_EQ(times("grains-hungry"), 1);
  EXPECT_THAT(world.the("grains-hungry").text, HasSubstr("in Red jar in the same milk since"));
  EXPECT_EQ(state(), GrainsState::hungry);
}

TEST_F(ACulture, InAWorkingJarThatIsForgottenInTheFridgeIsToldOfAfterSomeDays) {
  world.does(start("blue"));
  world.run_for(12h);
  world.does(Move{"blue", "fridge"});
  world.run_for(72h);  // a long weekend
  EXPECT_EQ(times("grains-hungry"), 0);
  EXPECT_EQ(state(), GrainsState::working);
  world.run_for(48h);
  EXPECT_EQ(times("grains-hungry"), 1);
  EXPECT_THAT(world.the("grains-hungry").text,
              HasSubstr("in Blue jar, which stands in the fridge"));
  // Taken out, it goes on.
  world.does(Move{"blue", "kitchen"});
  EXPECT_EQ(state(), GrainsState::working);
}

TEST_F(ACulture, StarvingInTwoJarsIsToldOfBoth) {
  world.does(start("red"));
  world.run_for(1h);
  world.does(start("blue"));
  world.run_for(96h);
  EXPECT_EQ(times("grains-hungry"), 2);
}

TEST_F(ACulture, OfMoreThanTheJarIsFilledWithIsToldHowMuchOfItSuitsTheJar) {
  world.does(start("blue"));
  world.run_for(23h);
  Strain out = strain("blue");
  out.grain_g = 37.0;
  world.does(out);
  // 20 g to 950 mL, common practice and the jar's own set-up; 37 g would suit 1760 mL of 1250.
  EXPECT_THAT(world.the("strained").text,
              HasSubstr("of its 37 g, about 20 g suit the 950 mL that go into Blue jar"));
}

TEST_F(ACulture, RestingIsRemindedOfItsMilkEveryWeekThatItIsChanged) {
  world.does(Rest{"tilly", {}});
  EXPECT_EQ(state(), GrainsState::resting);
  world.run_for(24h * 6);
  EXPECT_EQ(times("grains-hungry"), 0);
  world.run_for(24h * 4);
  EXPECT_EQ(times("grains-hungry"), 1);
  world.does(Rest{"tilly", {}});
  world.run_for(24h * 8);
  EXPECT_EQ(times("grains-hungry"), 2);
}

TEST_F(ACulture, WokenIsSaidToBeSlowForThreeBatches) {
  world.does(Rest{"tilly", {}});
  world.run_for(24h * 5);
  world.does(Wake{"tilly"});
  EXPECT_EQ(state(), GrainsState::waking);
  std::vector<bool> said_slow;
  for (int batch = 0; batch < 4; ++batch) {
    const std::size_t before = world.announcements().size();
    a_batch();
    const auto started =
        std::find_if(world.announcements().begin() + static_cast<std::ptrdiff_t>(before),
                     world.announcements().end(),
                     [](const Announcement& a) { return a.kind == EventKind::batch_started; });
    said_slow.push_back(started->text.find("slow") != std::string::npos);
  }
  EXPECT_EQ(said_slow, (std::vector<bool>{true, true, true, false}));
}

TEST_F(ACulture, HalfAsMuchAgainAsTheJarsWantIsTooMuchAndToldOnce) {
  world.does(Weigh{"tilly", 55.0});  // two jars need 20 g each
  EXPECT_EQ(times("surplus-grains"), 0);
  world.does(Weigh{"tilly", 62.0});
  world.does(Weigh{"tilly", 64.0});
  EXPECT_EQ(times("surplus-grains"), 1);
  EXPECT_THAT(world.the("surplus-grains").text,
              AllOf(HasSubstr("about 62 g"), HasSubstr("22 g more"), HasSubstr("freeze or dry")));
  world.does(Spare{"tilly", SpareUse::given_away, 24.0, false});
  world.does(Weigh{"tilly", 61.0});
  EXPECT_EQ(times("surplus-grains"), 2);
}

TEST_F(ACulture, WithAColourThatGrainsNeverHaveMustBeDiscarded) {
  for (const GrainColour colour : {GrainColour::pink, GrainColour::black, GrainColour::grey,
                                   GrainColour::blue, GrainColour::green, GrainColour::orange}) {
    World again;
    again.does(Inspect{"tilly", colour, {}, {}});
    EXPECT_EQ(again.told_of("culture-tilly"), std::vector<std::string>{"discard-grains"})
        << word(colour);
    EXPECT_THAT(again.the("discard-grains").caution.value_or(""), HasSubstr("Do not taste"));
  }
}

TEST_F(ACulture, ThatSmellsRottenMustBeDiscardedWhateverItsColour) {
  world.does(Inspect{"tilly", GrainColour::white, GrainSmell::rotten, {}});
  EXPECT_EQ(times("discard-grains"), 1);
  EXPECT_EQ(state(), GrainsState::suspect);
  world.does(start("blue"));
  EXPECT_THAT(world.the("batch-started").caution.value_or(""), HasSubstr("Do not taste"));
}

TEST_F(ACulture, OfAUsualColourAndSmellIsNotTalkedAbout) {
  for (const GrainColour colour :
       {GrainColour::white, GrainColour::cream, GrainColour::yellowish}) {
    world.does(Inspect{"tilly", colour, GrainSmell::yeasty, false});
    world.does(Inspect{"tilly", colour, GrainSmell::sour, false});
  }
  EXPECT_TRUE(world.told_of("culture-tilly").empty());
}

TEST_F(ACulture, OutOfBalanceIsNotBadAndIsToldWhatToChange) {
  world.does(Inspect{"tilly", {}, GrainSmell::strongly_yeasty, {}});
  EXPECT_EQ(times("discard-grains"), 0);
  EXPECT_THAT(world.the("grains-advice").text, AllOf(HasSubstr("not bad"), HasSubstr("cooler")));
}

TEST_F(ACulture, ThatIsStickyIsUsualAndNotToBeRinsed) {
  world.does(Inspect{"tilly", GrainColour::cream, {}, true});
  EXPECT_THAT(world.the("grains-advice").text,
              AllOf(HasSubstr("usual"), HasSubstr("do not rinse")));
}

// --- advice at the start ------------------------------------------------------------------------

TEST_F(ACulture, TheCautionsThatMatterAreSaidOnceEach) {
  Start raw = start("blue");
  raw.treatment = Treatment::raw;
  world.does(raw);
  world.run_for(20h);
  world.does(strain("blue"));
  world.does(raw);
  world.run_for(20h);
  world.does(strain("blue"));
  std::vector<std::string> cautions;
  for (const Announcement& a : world.announcements()) {
    if (a.caution) cautions.push_back(*a.caution);
  }
  ASSERT_EQ(cautions.size(), 2u);
  EXPECT_THAT(cautions[0], AllOf(HasSubstr("Raw milk"), HasSubstr("qualified professional")));
  EXPECT_THAT(cautions[1],
              AllOf(HasSubstr("pregnancy"), HasSubstr("milk allergy"), HasSubstr("alcohol")));
}

TEST_F(ACulture, AVeryFullJarIsToldOfOnceAndAgainWhenItIsFuller) {
  std::vector<bool> cautioned;
  for (const double milk_ml : {1200.0, 1200.0, 900.0, 1150.0, 1240.0}) {
    const std::size_t before = world.announcements().size();
    Start said = start("blue");
    said.milk_ml = milk_ml;
    world.does(said);
    const Announcement& started = world.announcements().at(before);
    cautioned.push_back(started.caution.value_or("").find("very full") != std::string::npos);
    world.run_for(1h);
    world.does(discard("blue"));
  }
  EXPECT_EQ(cautioned, (std::vector<bool>{true, false, false, false, true}));
}

TEST_F(ACulture, NoSentenceOfARiskyMonthSaysThatFoodIsSafe) {
  Start raw = start("blue");
  raw.treatment = Treatment::raw;
  raw.lid = Lid::tight;
  world.does(raw);
  world.run_for(30h);
  world.does(strain_into("blue", "bottle"));
  world.does(store("bottle"));
  world.room("fridge").is(9.0_degC);
  world.run_for(24h * 25);
  world.does(Inspect{"tilly", GrainColour::pink, GrainSmell::rotten, true});
  world.does(start("blue"));
  world.run_for(24h * 2);
  ASSERT_GT(world.announcements().size(), 10u);
  for (const Announcement& a : world.announcements()) {
    for (std::string text : {a.text, a.caution.value_or("")}) {
      for (const auto* deferring : {"food-safety"}) {
        for (auto at = text.find(deferring); at != std::string::npos; at = text.find(deferring)) {
          text.erase(at, std::string_view(deferring).size());
        }
      }
      EXPECT_THAT(text, Not(HasSubstr("safe"))) << word(a.kind);
    }
  }
}

}  // namespace
}  // namespace wheymark::test
