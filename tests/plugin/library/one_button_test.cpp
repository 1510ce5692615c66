// A plain button for each step: what a press does, and what is answered when it cannot.
#include <gmock/gmock.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class OneButton : public Connected {
 protected:
  OneButton() { home.hears("house/kitchen", "21.0"); }
};

TEST_F(OneButton, StartTakesEverythingFromTheJarAndItsCulture) {
  json without_grains = small_configuration();
  without_grains["jars"][0].erase("grain_g");
  home.restarts_with(without_grains);
  home.connects();
  EXPECT_EQ(home.presses("start")["accepted"], true);
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "working");
  EXPECT_EQ(home.state("jar-blue/batch/milk"), "cow-whole");
  EXPECT_EQ(home.state("jar-blue/batch/milk-volume"), "950");
  EXPECT_EQ(home.state("jar-blue/batch/grain-mass"), "20.0");  // the culture's
  EXPECT_EQ(home.state("jar-blue/batch/lid"), "loose");
  EXPECT_EQ(home.state("jar-blue/batch/place"), "kitchen");
}

TEST_F(OneButton, AnAcceptedPressIsReflectedAndARefusedOneIsNot) {
  home.presses("strain");
  EXPECT_THAT(home.broker.on("homie/5/jar-blue/care/step"), IsEmpty());
  home.presses("start");
  EXPECT_THAT(home.broker.on("homie/5/jar-blue/care/step"), ElementsAre("start"));
}

TEST_F(OneButton, ARoundOfPressesIsADay) {
  home.presses("start");
  home.lives_for(20h, 21.0);
  EXPECT_EQ(home.presses("strain")["accepted"], true);
  home.lives_for(10min, 21.0);
  home.presses("store");
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "fridge");
  home.lives_for(24h, 21.0);
  home.presses("take");
  EXPECT_EQ(home.presses("finish")["accepted"], true);
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
}

// The person pours the kefir into an unreported bottle, and fills the jar again.
TEST_F(OneButton, StartAfterStrainNeedsNoButtonInBetween) {
  home.presses("start");
  home.lives_for(20h, 21.0);
  home.presses("strain");
  home.lives_for(5min, 21.0);
  EXPECT_EQ(home.presses("start")["accepted"], true);
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "working");
  EXPECT_EQ(home.state("jar-blue/batch/started"), "2027-03-02T04:05:00Z");
}

TEST_F(OneButton, ARefusalSaysWhatToDoInstead) {
  home.presses("strain");
  EXPECT_THAT(home.state("jar-blue/care/answer"),
              HasSubstr("strain was refused: Blue jar holds nothing"));
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("start a batch first"));

  home.presses("start");
  home.presses("start");
  // The second press of the same second counts once.
  EXPECT_THAT(home.state("jar-blue/care/answer"),
              HasSubstr("start is noted; this ref was said before"));
  home.run_for(1min);
  home.presses("start");
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("strain or discard it first"));
  home.presses("finish");
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("strain it before you finish it"));
}

TEST_F(OneButton, APressThatLeavesSomethingOpenIsAnsweredWithWhatItWasTakenAs) {
  home.presses("start");
  home.lives_for(20h, 21.0);
  home.presses("start");
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("taken as strained and fed again"));
  home.run_for(1min);
  home.presses("store");
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("the jar is cooled"));
  EXPECT_EQ(home.state("jar-blue/batch/place"), "fridge");
  home.presses("take");
  EXPECT_EQ(home.state("jar-blue/batch/place"), "kitchen");
}

TEST_F(OneButton, ARefusedPressIsAnsweredLoggedAndShownOnTheJarAndTheRoot) {
  EXPECT_EQ(home.presses("strain")["accepted"], false);
  EXPECT_THAT(home.broker.last_on("homie/5/jar-blue/$log/warn"), HasSubstr("refused"));
  EXPECT_EQ(home.broker.retained.at("homie/5/wheymark/care/answer"),
            home.state("jar-blue/care/answer"));
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("Mon 1 Mar 08:00"));
}

TEST_F(OneButton, AnUnknownStepIsToldWhichThereAre) {
  EXPECT_THAT(home.presses("stir")["why"].get<std::string>(),
              HasSubstr("allowed: start, strain, store, take, pour, finish, discard, undo"));
  EXPECT_THAT(home.sets("jar-blue/care/sign", "bubbles")["why"].get<std::string>(),
              HasSubstr("allowed: still-milk, thickened"));
}

TEST_F(OneButton, APressByMistakeCanBeTakenBack) {
  const std::string ref = home.presses("start")["ref"];
  home.run_for(1min);
  home.says({{"fact", "retract"}, {"ref", ref}});
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
}

TEST_F(OneButton, UndoTakesTheLastPressBackAndSaysWhichThatWas) {
  home.presses("start");
  home.run_for(1min);
  const json answer = home.presses("undo");
  EXPECT_EQ(answer["accepted"], true);
  EXPECT_EQ(answer["fact"], "undo");
  EXPECT_THAT(answer["why"].get<std::string>(), HasSubstr("start of Blue jar, Mon 1 Mar 08:00"));
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
  home.run_for(1min);
  EXPECT_THAT(home.presses("undo")["why"].get<std::string>(), HasSubstr("nothing was said"));
  home.restarts();
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
}

TEST_F(OneButton, APressedTwiceStrainIsAskedAboutSecondsAfterTheStart) {
  home.presses("start");
  home.run_for(25s);
  const json answer = home.presses("strain");
  EXPECT_EQ(answer["accepted"], false);
  EXPECT_THAT(answer["why"].get<std::string>(), HasSubstr("was started only at"));
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "working");
}

TEST_F(OneButton, ASignMovesTheStage) {
  home.presses("start");
  home.hears("homie/5/jar-blue/care/sign/set", "set");
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "set");
}

TEST_F(OneButton, WhatNoJarIsNamedInIsAnsweredOnTheRoot) {
  home.hears("wheymark/say", "{not json");
  EXPECT_THAT(home.broker.retained.at("homie/5/wheymark/care/answer"),
              HasSubstr("a message was refused"));
}

}  // namespace
}  // namespace wheymark::test
