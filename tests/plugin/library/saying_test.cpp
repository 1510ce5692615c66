// A report is answered once: accepted and kept, or refused with why; and nothing that comes in can
// do harm.
#include <algorithm>
#include <gtest/gtest.h>

#include "core/basis/limits.hpp"
#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class Saying : public AtHome {};

TEST_F(Saying, AStartIsAcceptedAnsweredAndTold) {
  const json answer = home.says({{"fact", "start"}, {"jar", "blue"}, {"ref", "my-ref"}});
  EXPECT_EQ(answer["accepted"], true);
  EXPECT_EQ(answer["ref"], "my-ref");
  EXPECT_EQ(answer["fact"], "start");
  EXPECT_EQ(answer["id"], "fact-1");
  EXPECT_EQ(answer["why"], "");
  EXPECT_THAT(home.told(), ElementsAre("jar-blue batch-started"));
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "working");
}

TEST_F(Saying, TheAnswerIsQos1JsonAndNotRetained) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.says({{"fact", "start"}, {"jar", "blue"}});  // refused
  for (const Published& p : home.broker.published) {
    if (p.topic != "wheymark/answer") continue;
    EXPECT_EQ(p.qos, 1);
    EXPECT_FALSE(p.retain);
    EXPECT_EQ(p.content_type, "application/json");
  }
}

TEST_F(Saying, WhatCannotBeReadIsRefusedWithWhatCouldBeRead) {
  json answer = home.says({{"fact", "sign"}, {"jar", "blue"}, {"sign", "sset"}, {"ref", "r"}});
  EXPECT_EQ(answer["accepted"], false);
  EXPECT_EQ(answer["ref"], "r");
  EXPECT_EQ(answer["fact"], "sign");
  EXPECT_EQ(answer["id"], nullptr);
  EXPECT_THAT(answer["why"].get<std::string>(), HasSubstr("sset"));

  for (const std::string broken : {"",
                                   "{",
                                   "nonsense",
                                   "[1,2",
                                   "null",
                                   "42",
                                   "\"start\"",
                                   "[]",
                                   "{}",
                                   R"({"fact":1})",
                                   R"({"fact":"start"})",
                                   R"({"fact":"start","jar":{}})",
                                   R"({"fact":"start","jar":"blue"} x)",
                                   R"({"fact":"start","jar":"blue","jar":"red"})",
                                   R"({"fact":"start","jar":"blue","x":1})",
                                   R"({"fact":"start","jar":"blue","milk_ml":"much"})",
                                   R"({"fact":"start","jar":"blue","milk_ml":1e400})",
                                   R"({"fact":"start","jar":"blue","milk_ml":NaN})",
                                   R"({"fact":"start","jar":"blue","milk_ml":-0.0})",
                                   R"({"fact":"start","jar":"blue","at":"yesterday"})",
                                   R"({"fact":"start","jar":"blue","at":1803888000})",
                                   R"({"fact":"start","jar":"../../etc"})",
                                   R"({"fact":"retract"})"}) {
    answer = home.says_text(broken);
    EXPECT_EQ(answer["accepted"], false) << broken;
    EXPECT_NE(answer["why"], "") << broken;
  }
  EXPECT_THAT(home.told(), IsEmpty());
}

TEST_F(Saying, BytesThatAreNoTextAreRefusedAndAnsweredInText) {
  for (const std::string& bytes :
       {std::string("\xff\xfe{}"), std::string("{\"fact\":\"start\",\"jar\":\"blue\xc3\"}"),
        std::string("{}\0{}", 5), std::string(3, '\0'), std::string("\xef\xbb\xbf{}")}) {
    EXPECT_EQ(home.says_text(bytes)["accepted"], false);
  }
}

TEST_F(Saying, AMegabyteIsRefusedWithItsSizeAndAnsweredBriefly) {
  for (const std::string& much :
       {std::string(1'000'000, 'x'), std::string(1'000'000, '['),
        "{\"fact\":\"start\",\"jar\":\"" + std::string(1'000'000, 'a') + "\"}"}) {
    const json answer = home.says_text(much);
    EXPECT_THAT(answer["why"].get<std::string>(), HasSubstr("1000"));
    EXPECT_LT(answer.dump().size(), 1000u);
    EXPECT_EQ(home.sets("jar-blue/care/step", much)["accepted"], false);
    EXPECT_LT(home.answers().back().dump().size(), 1000u);
  }
}

TEST_F(Saying, WhatNestsDeeplyIsRefusedForThat) {
  // A good report but for one key, whose value is wrong.
  const auto start_with_nested = [&](std::size_t levels) {
    return home
        .says_text(R"({"fact":"start","jar":"blue","milk_ml":)" + std::string(levels, '[') +
                   std::string(levels, ']') + "}")["why"]
        .get<std::string>();
  };
  EXPECT_THAT(start_with_nested(limits::json_depth_max - 1), HasSubstr("milk_ml"));
  EXPECT_THAT(start_with_nested(limits::json_depth_max), HasSubstr("nested deeper than 16 levels"));
  EXPECT_THAT(start_with_nested(8'000), HasSubstr("nested deeper than 16 levels"));
  EXPECT_THAT(home.told(), IsEmpty());
}

TEST_F(Saying, TheSameRefTwiceIsOneFactAndBothAreAnswered) {
  const json first = home.says({{"fact", "start"}, {"jar", "blue"}, {"ref", "a"}});
  const json again = home.says({{"fact", "start"}, {"jar", "blue"}, {"ref", "a"}});
  EXPECT_EQ(again["accepted"], true);
  EXPECT_EQ(again["id"], first["id"]);
  EXPECT_THAT(home.told(), ElementsAre("jar-blue batch-started"));
}

TEST_F(Saying, ButtonsDoWhatTheyAreCalled) {
  EXPECT_EQ(home.sets("jar-blue/care/step", "start")["accepted"], true);
  EXPECT_EQ(home.sets("jar-blue/care/sign", "thickened")["accepted"], true);
  EXPECT_EQ(home.sets("jar-blue/care/say", R"({"fact":"ph","ph":5.1})")["accepted"], true);
  EXPECT_EQ(home.sets("jar-blue/care/step", "strain")["accepted"], true);
  EXPECT_EQ(home.sets("jar-blue/care/step", "store")["accepted"], true);
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "fridge");
  EXPECT_EQ(home.sets("jar-blue/care/step", "take")["accepted"], true);
  EXPECT_EQ(home.sets("jar-blue/care/step", "finish")["accepted"], true);
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
}

TEST_F(Saying, ButtonsRefuseWhatTheyDoNotTake) {
  EXPECT_THAT(home.sets("jar-blue/care/step", "Start")["why"].get<std::string>(),
              HasSubstr("start, strain, store"));
  EXPECT_EQ(home.sets("jar-blue/care/step", " start")["accepted"], false);
  EXPECT_EQ(home.sets("jar-blue/care/sign", "")["accepted"], false);
  EXPECT_EQ(home.sets("jar-blue/care/colour", "pink")["accepted"], false);
  EXPECT_EQ(home.sets("jar-blue/care/say", R"({"fact":"ph","jar":"red","ph":5})")["accepted"],
            false);
}

TEST_F(Saying, OtherTopicsAreNotAnswered) {
  const std::size_t before = home.broker.published.size();
  for (const std::string topic :
       {"", "/", "wheymark", "wheymark/say/", "homie/5/jar-blue/batch/stage/set", "house/attic",
        "homie/5/jar-blue/care/step", "homie/5/jar-green/care/step/set",
        "homie/5/jar-/care/step/set", "homie/5/blue/care/step/set"}) {
    home.hears(topic, "start");
  }
  EXPECT_EQ(home.broker.published.size(), before);
}

TEST_F(Saying, RetainedCommandsAreNotObeyed) {
  home.hears("wheymark/say", R"({"fact":"start","jar":"blue"})", true);
  home.hears("homie/5/jar-red/care/step/set", "start", true);
  EXPECT_THAT(home.told(), IsEmpty());
  EXPECT_THAT(home.answers(), IsEmpty());
  EXPECT_THAT(home.broker.log, Contains(HasSubstr("a retained message on wheymark/say")));
  EXPECT_THAT(home.broker.last_on("homie/5/wheymark/$log/warn"), HasSubstr("without retain"));
}

// --- a full disk --------------------------------------------------------------------------------

TEST_F(Saying, WhatCannotBeKeptDoesNotCountAndIsAnswered) {
  home.disk.is_full = true;
  const json answer = home.says({{"fact", "start"}, {"jar", "blue"}, {"ref", "a"}});
  EXPECT_EQ(answer["accepted"], false);
  EXPECT_EQ(answer["id"], nullptr);
  EXPECT_THAT(answer["why"].get<std::string>(), HasSubstr("the disk is full"));
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
  EXPECT_THAT(home.told(), IsEmpty());
  home.disk.is_full = false;
  EXPECT_EQ(home.says({{"fact", "start"}, {"jar", "blue"}, {"ref", "a"}})["accepted"], true);
  EXPECT_THAT(home.told(), ElementsAre("jar-blue batch-started"));
}

TEST_F(Saying, AnEventThatCannotBeKeptWaitsAndIsToldOnceThereIsRoom) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.disk.is_full = true;
  home.lives_for(23h);
  EXPECT_THAT(home.told(), ElementsAre("jar-blue batch-started"));
  home.disk.is_full = false;
  home.run_for(1min);
  EXPECT_THAT(home.told(), Contains("jar-blue peak-open"));
  const std::size_t told = home.told().size();
  home.lives_for(1h);
  EXPECT_EQ(home.told().size(), told);
}

// The fact was kept, its event not; then the batch ends before the event was tried again.
TEST_F(Saying, AnEventThatWaitsIsNotLostWhenItsBatchEndsMeanwhile) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.lives_for(1h);
  home.disk.commits_until_full = 1;  // the fact itself
  EXPECT_EQ(home.says({{"fact", "strain"}, {"jar", "blue"}})["accepted"], true);
  EXPECT_EQ(home.says({{"fact", "finish"}, {"jar", "blue"}})["accepted"], false);
  home.disk.is_full = false;
  home.disk.commits_until_full = 1 << 30;
  EXPECT_EQ(home.says({{"fact", "finish"}, {"jar", "blue"}})["accepted"], true);
  EXPECT_THAT(home.told(), ElementsAre("jar-blue batch-started", "jar-blue strained"));
}

// Whatever commit fails, nothing accepted is missing afterwards and nothing is announced twice.
TEST(FullDisk, AtAnyCommitLosesNothingThatWasAccepted) {
  for (int nth = 0; nth < 12; ++nth) {
    Home home;
    home.connects();
    home.read_all();
    home.disk.commits_until_full = nth;
    std::vector<bool> accepted;
    const auto say = [&](const json& fact) { accepted.push_back(home.says(fact)["accepted"]); };
    say({{"fact", "start"}, {"jar", "blue"}});
    say({{"fact", "start"}, {"jar", "red"}});
    home.lives_for(20h);
    say({{"fact", "strain"}, {"jar", "blue"}, {"into", "bottle"}});
    say({{"fact", "store"}, {"jar", "bottle"}});
    const std::string blue = home.state("jar-blue/batch/stage");
    const std::string bottle = home.state("jar-bottle/batch/stage");
    home.disk.is_full = false;
    home.disk.commits_until_full = 1 << 30;
    home.run_for(1min);

    home.restarts();
    home.connects();
    EXPECT_EQ(home.state("jar-blue/batch/stage"), blue) << nth;
    EXPECT_EQ(home.state("jar-bottle/batch/stage"), bottle) << nth;
    std::vector<std::string> ids;
    for (const json& event : home.events()) ids.push_back(event["id"]);
    std::sort(ids.begin(), ids.end());
    EXPECT_EQ(std::adjacent_find(ids.begin(), ids.end()), ids.end()) << nth;
    EXPECT_EQ(accepted.front(), nth > 0);
    EXPECT_EQ(blue, accepted[0] && !accepted[2] ? "set" : "empty") << nth;
  }
}

}  // namespace
}  // namespace wheymark::test
