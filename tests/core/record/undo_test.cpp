// What was said last of a jar or of grains is taken back by one word, and the answer names it.
#include <gtest/gtest.h>

#include "core/household/report_answer.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class AnUndo : public OneJar {
 protected:
  static Undo of_jar(const JarId& jar) { return {std::nullopt, jar}; }
  static Undo of_grains(const CultureId& culture) { return {culture, std::nullopt}; }
  // Says it, and returns the answer.
  std::string undone(const Undo& undo) {
    const auto decided =
        world.household().decide(Report{undo, std::nullopt, std::nullopt}, world.now());
    EXPECT_TRUE(decided.ok()) << decided.why();
    if (!decided) return decided.why();
    std::string answer = answer_to(decided.value().record, world.household());
    world.does(undo);
    return answer;
  }
};

TEST_F(AnUndo, TakesBackAStrainingAndTheBatchGoesOnAsIfNothingHadHappened) {
  world.does(start("blue"));
  world.run_for(12h);
  const std::vector<std::string> before = world.all_bits();
  world.does(strain("blue"));
  EXPECT_THAT(undone(of_jar("blue")), AllOf(HasSubstr("strain of Blue jar"),
                                            HasSubstr("Blue jar holds the batch started")));
  EXPECT_EQ(world.all_bits(), before);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(AnUndo, OfASignNamesItAndTheForecastForgetsIt) {
  world.does(start("blue"));
  world.run_for(14h);
  const Instant expected = *jar().forecast.peak_opens.p50;
  world.does(SignSeen{"blue", Sign::whey_pockets});
  EXPECT_THAT(undone(of_jar("blue")), HasSubstr("sign (whey-pockets) of Blue jar"));
  EXPECT_EQ(*jar().forecast.peak_opens.p50, expected);
}

TEST_F(AnUndo, AfterAnUndoTakesBackWhatWasSaidBefore) {
  world.does(start("blue"));
  world.run_for(1h);
  world.does(Move{"blue", "larder"});
  EXPECT_THAT(undone(of_jar("blue")), HasSubstr("move (to Larder)"));
  EXPECT_THAT(undone(of_jar("blue")), AllOf(HasSubstr("start of Blue jar"), HasSubstr("is empty")));
  EXPECT_THAT(world.says(of_jar("blue")).why(), HasSubstr("nothing was said of Blue jar"));
}

TEST_F(AnUndo, IsOfWhatWasSaidLastAndNotOfWhatHappenedLast) {
  world.does(start("blue"));
  world.run_for(6h);
  world.does(LidPut{"blue", Lid::tight});
  world.does(Move{"blue", "larder"}, world.now() - 3h);
  EXPECT_THAT(undone(of_jar("blue")), HasSubstr("move"));
  EXPECT_EQ(jar().batch->lid, Lid::tight);
}

TEST_F(AnUndo, LeavesOtherJarsAlone) {
  world.does(start("blue"));
  world.does(start("red"));
  EXPECT_THAT(undone(of_jar("blue")), Not(HasSubstr("Red jar")));
  EXPECT_EQ(world.state("red").stage, Stage::working);
  EXPECT_EQ(jar().stage, Stage::empty);
}

TEST_F(AnUndo, OfGrainsIsOfWhatWasSaidOfThemAndNotOfTheirJars) {
  world.does(weigh(22.0));
  world.run_for(1h);
  world.does(start("blue"));
  EXPECT_THAT(undone(of_grains("tilly")), HasSubstr("weigh (22 g) of Tilly"));
  EXPECT_EQ(jar().stage, Stage::working);
}

TEST_F(AnUndo, OfWhatWasSaidLongerThanADayAgoIsRefusedAndTellsWhatItWouldHaveBeen) {
  world.does(start("blue"), {}, "b-17");
  world.run_for(25h);
  EXPECT_THAT(world.says(of_jar("blue")).why(),
              AllOf(HasSubstr("start of Blue jar"), HasSubstr("longer than a day ago"),
                    HasSubstr("retract with the ref \"b-17\"")));
}

TEST_F(AnUndo, ThatAnotherFactRestsOnIsRefusedNamingThatFact) {
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.does(store("bottle"));
  EXPECT_THAT(world.says(of_jar("blue")).why(), HasSubstr("does not go with the store"));
  // In the order in which it was said, everything goes.
  (void)undone(of_jar("bottle"));
  (void)undone(of_jar("blue"));
  EXPECT_TRUE(jar().batch->fermenting());
}

TEST_F(AnUndo, SaidTwiceWithOneRefCountsOnce) {
  world.does(start("blue"));
  world.run_for(1h);
  world.does(Move{"blue", "larder"});
  world.does(of_jar("blue"), {}, "once");
  world.does(of_jar("blue"), {}, "once");
  EXPECT_EQ(jar().batch->place(), PlaceId("kitchen"));
  EXPECT_NE(jar().stage, Stage::empty);
  EXPECT_THAT(world.says(Retract{"once"}).why(), HasSubstr("cannot be taken back"));
}

TEST_F(AnUndo, CanNameTheRecordAndThenNoOther) {
  const FactRecord began = world.does(start("blue"));
  world.run_for(1h);
  world.does(Move{"blue", "larder"});
  EXPECT_THAT(world.says(Undo{std::nullopt, "red", began.number}).why(),
              HasSubstr("nothing with the id \"fact-1\" is kept of Red jar"));
  EXPECT_THAT(world.says(Undo{std::nullopt, "blue", began.number}).why(),
              HasSubstr("does not go with the move"));
}

TEST_F(AnUndo, OfAJarThatNobodyKnowsIsRefused) {
  EXPECT_THAT(world.says(of_jar("green")).why(), HasSubstr("no jar is called \"green\""));
}

// --- a press that cannot be right ---------------------------------------------------------------

TEST_F(AnUndo, AStrainingSecondsAfterTheStartIsAskedAboutFirst) {
  world.does(start("blue"));
  world.run_for(25s);
  EXPECT_THAT(world.says(strain("blue")).why(),
              AllOf(HasSubstr("was started only at"), HasSubstr("say undo"), HasSubstr("sure")));
  EXPECT_TRUE(jar().batch->fermenting());
  EXPECT_TRUE(world.says_for_sure(strain("blue")).ok());
  EXPECT_FALSE(jar().batch->fermenting());
}

TEST_F(AnUndo, AStrainingOfWhatWasSeenToBeKefirIsNot) {
  world.does(start("blue"));
  world.run_for(5min);
  world.does(SignSeen{"blue", Sign::whey_pockets});
  EXPECT_TRUE(world.says(strain("blue")).ok());
}

TEST_F(AnUndo, AStrainingHoursAfterTheStartIsNot) {
  world.does(start("blue"));
  world.run_for(2h);
  EXPECT_TRUE(world.says(strain("blue")).ok());
}

}  // namespace
}  // namespace wheymark::test
