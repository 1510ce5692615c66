// A plain button a step: what a press does, and what it says when it cannot.
#include <gmock/gmock.h>

#include "tests/plugin/library/hub.hpp"

namespace wheymark::test {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class OneButton : public OnAHub {
 protected:
  void SetUp() override {
    start_anew();
    say("house/kitchen", "21.0");
  }
};

TEST_F(OneButton, StartTakesEverythingFromTheJarAndItsCulture) {
  press("start");
  EXPECT_EQ(answer()["accepted"], true);
  EXPECT_EQ(of_blue("batch/stage"), "working");
  EXPECT_EQ(of_blue("batch/milk"), "cow-whole");
  EXPECT_EQ(of_blue("batch/milk-volume"), "950");
  EXPECT_EQ(of_blue("batch/grain-mass"), "20.0");  // the culture's
  EXPECT_EQ(of_blue("batch/lid"), "loose");
  EXPECT_EQ(of_blue("batch/place"), "kitchen");
}

TEST_F(OneButton, AnAcceptedPressIsReflectedAndARefusedOneIsNot) {
  press("strain");
  EXPECT_THAT(hub.on("homie/5/jar-blue/care/step"), IsEmpty());
  press("start");
  EXPECT_THAT(hub.on("homie/5/jar-blue/care/step"), ElementsAre("start"));
}

TEST_F(OneButton, ARoundOfPressesIsADay) {
  press("start");
  pass(20h, 21.0);
  press("strain");
  EXPECT_EQ(answer()["accepted"], true);
  pass(10min, 21.0);
  press("store");
  EXPECT_EQ(of_blue("batch/stage"), "fridge");
  pass(24h, 21.0);
  press("take");
  press("finish");
  EXPECT_EQ(answer()["accepted"], true);
  EXPECT_EQ(of_blue("batch/stage"), "empty");
}

// The person pours the kefir into some bottle that nobody told of, and fills the jar again.
TEST_F(OneButton, StartAfterStrainNeedsNoButtonInBetween) {
  press("start");
  pass(20h, 21.0);
  press("strain");
  pass(5min, 21.0);
  press("start");
  EXPECT_EQ(answer()["accepted"], true) << answer();
  EXPECT_EQ(of_blue("batch/stage"), "working");
  EXPECT_EQ(of_blue("batch/started"), "2027-03-02T04:05:00Z");
}

TEST_F(OneButton, ARefusalSaysWhatToDoInstead) {
  press("strain");
  EXPECT_THAT(of_blue("care/answer"), HasSubstr("strain was refused: Blue jar holds nothing"));
  EXPECT_THAT(of_blue("care/answer"), HasSubstr("start a batch first"));

  press("start");
  press("start");
  // The second press of the same second counts once.
  EXPECT_THAT(of_blue("care/answer"), HasSubstr("start is noted; this ref was said before"));
  pass(1min);
  press("start");
  EXPECT_THAT(of_blue("care/answer"), HasSubstr("strain or discard it first"));
  press("store");
  EXPECT_THAT(of_blue("care/answer"), HasSubstr("strain it before you store it"));
}

TEST_F(OneButton, ARefusedPressIsSeenInEveryWayThatAHubCanLook) {
  press("strain");
  EXPECT_EQ(answer()["accepted"], false);
  EXPECT_THAT(hub.last_on("homie/5/jar-blue/$log/warn"), HasSubstr("refused"));
  EXPECT_EQ(hub.retained.at("homie/5/wheymark/care/answer"), of_blue("care/answer"));
  EXPECT_THAT(of_blue("care/answer"), HasSubstr("Mon 1 Mar 08:00"));
}

TEST_F(OneButton, AnUnknownStepIsToldWhichThereAre) {
  press("stir");
  EXPECT_THAT(answer()["why"].get<std::string>(),
              HasSubstr("allowed: start, strain, store, take, finish, discard"));
  say("homie/5/jar-blue/care/sign/set", "bubbles");
  EXPECT_THAT(answer()["why"].get<std::string>(), HasSubstr("allowed: still-milk, thickened"));
}

TEST_F(OneButton, APressByMistakeCanBeTakenBack) {
  press("start");
  const std::string ref = answer()["ref"];
  pass(1min);
  say("wheymark/say", nlohmann::json{{"fact", "retract"}, {"ref", ref}}.dump());
  EXPECT_EQ(of_blue("batch/stage"), "empty");
}

TEST_F(OneButton, ASignMovesTheStage) {
  press("start");
  say("homie/5/jar-blue/care/sign/set", "set");
  EXPECT_EQ(of_blue("batch/stage"), "set");
}

TEST_F(OneButton, WhatNoJarIsNamedInIsAnsweredOnTheRoot) {
  say("wheymark/say", "{not json");
  EXPECT_THAT(hub.retained.at("homie/5/wheymark/care/answer"), HasSubstr("a message was refused"));
}

}  // namespace
}  // namespace wheymark::test
