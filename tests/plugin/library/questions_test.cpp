// A question is answered once, with the sentence and the numbers behind it, and changes nothing;
// reports that contradict each other are kept, weighed and pointed out.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::StartsWith;

class AQuestion : public Connected {
 protected:
  AQuestion() {
    home.lives_for(30h, 20.5);  // until Tue 2 Mar 14:00
    home.broker.published.clear();
  }
  json ask(const json& question) { return home.says(question); }
  [[nodiscard]] std::string why(const json& question) {
    const json answer = ask(question);
    EXPECT_EQ(answer["accepted"], false) << answer;
    return answer["why"];
  }
};

TEST_F(AQuestion, IsAnsweredOnceWithTheBestOptionInItsSentence) {
  const json answer = ask({{"fact", "plan"},
                           {"jar", "blue"},
                           {"ready_by", "2027-03-03T18:00:00Z"},
                           {"vary", {"milk", "start"}},
                           {"ref", "q-1"}});
  EXPECT_EQ(home.broker.on("wheymark/answer").size(), 1u);
  EXPECT_EQ(answer["accepted"], true);
  EXPECT_EQ(answer["fact"], "plan");
  EXPECT_EQ(answer["ref"], "q-1");
  EXPECT_EQ(answer["id"], nullptr);
  EXPECT_EQ(answer["about"], "feeding");
  ASSERT_GE(answer["options"].size(), 1u);
  const json& best = answer["options"][0];
  EXPECT_EQ(best["place"], "kitchen");
  EXPECT_EQ(best["grain_g"], 20.0);
  EXPECT_THAT(answer["why"].get<std::string>(), HasSubstr(best["text"].get<std::string>()));
  EXPECT_THAT(best["text"].get<std::string>(), StartsWith("Feed at "));
  // The hub shows it, on the jar's own device as well.
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("Feed at "));
}

// With an hour asked for, another start costs nothing, so that the chance alone ranks.
TEST_F(AQuestion, RanksStartsByTheirChance) {
  const json options = ask({{"fact", "plan"},
                            {"jar", "blue"},
                            {"ready_by", "2027-03-03T18:00:00Z"},
                            {"vary", {"start"}}})["options"];
  ASSERT_EQ(options.size(), 3u);
  for (std::size_t i = 1; i < options.size(); ++i) {
    EXPECT_GE(options[i - 1]["chance_percent"], options[i]["chance_percent"]) << options;
  }
  EXPECT_GT(options[0]["chance_percent"], options[2]["chance_percent"]) << "nothing to rank";
}

TEST_F(AQuestion, IsNoFactAndMayBeAskedAgain) {
  const json question = {{"fact", "plan"}, {"jar", "blue"}, {"ref", "same"}};
  const json first = ask(question);
  const json again = ask(question);
  EXPECT_EQ(first, again);
  EXPECT_THAT(why({{"fact", "retract"}, {"ref", "same"}}), HasSubstr("same"));
  EXPECT_EQ(ask({{"fact", "start"}, {"jar", "blue"}, {"ref", "same"}})["id"], "fact-1");
}

TEST_F(AQuestion, AboutARunningJarIsAboutWhatToDoNow) {
  home.says_text(R"({"fact":"start","jar":"blue"})");
  home.lives_for(3h, 20.5);
  const json running = ask({{"fact", "plan"}, {"jar", "blue"}});
  EXPECT_EQ(running["about"], "batch");
  EXPECT_EQ(running["options"][0]["step"], "leave");  // no other room, no fridge that is read
  const json next = ask({{"fact", "plan"}, {"jar", "blue"}, {"about", "feeding"}});
  EXPECT_EQ(next["about"], "feeding");
  EXPECT_GE(next["options"][0]["start"].get<std::string>(), next["earliest_start"]);
  EXPECT_GT(next["earliest_start"].get<std::string>(), "2027-03-03T05:00:00Z");
}

TEST_F(AQuestion, CanBeAskedOnTheJarsOwnTopic) {
  EXPECT_EQ(home.sets("jar-blue/care/say", R"({"fact":"plan"})")["jar"], "blue");
  EXPECT_EQ(home.sets("jar-blue/care/say", R"({"fact":"explain","jar":"red"})")["accepted"], false);
}

TEST_F(AQuestion, ThatIsWrongIsRefusedWithTheFieldTheValueAndWhatIsAllowed) {
  EXPECT_THAT(why({{"fact", "plan"}, {"jar", "blue"}, {"vary", {"milk", "moon"}}}),
              HasSubstr("vary: found an array; allowed: an array of grain, milk, place, start"));
  EXPECT_THAT(why({{"fact", "plan"}, {"jar", "blue"}, {"grain_g", 0.1}}),
              HasSubstr("grain_g: found 0.1; allowed: a number from 0.5 to 2000 g"));
  EXPECT_THAT(why({{"fact", "plan"}, {"jar", "blue"}, {"ready_by", "seven"}}),
              HasSubstr("ready_by"));
  EXPECT_THAT(why({{"fact", "plan"}, {"jar", "blue"}, {"ready_by", "2027-03-01T07:00:00Z"}}),
              HasSubstr("ready_by is Mon 1 Mar 07:00, which is past"));
  EXPECT_THAT(why({{"fact", "plan"}, {"jar", "blue"}, {"about", "jar"}}),
              HasSubstr("about: found \"jar\"; allowed: feeding, batch"));
  EXPECT_THAT(why({{"fact", "plan"}, {"jar", "blue"}, {"hour", 7}}),
              HasSubstr("found the key \"hour\"; allowed: fact, about, jar"));
  EXPECT_THAT(why({{"fact", "plan"}, {"jar", "bleu"}}), HasSubstr("no jar is called \"bleu\""));
  EXPECT_THAT(why({{"fact", "explain"}}), HasSubstr("jar: found nothing; this key is required"));
}

TEST_F(AQuestion, WhyIsAnsweredLineByLine) {
  home.says_text(R"({"fact":"start","jar":"blue"})");
  home.lives_for(10h, 20.5);
  home.says_text(R"({"fact":"ph","jar":"blue","ph":5.4})");
  const json why = ask({{"fact", "explain"}, {"jar", "blue"}});
  EXPECT_EQ(why["stage"], "working");
  EXPECT_NEAR(why["readings"][0]["readings"].get<double>(), 60.0, 2.0);  // one in ten minutes
  EXPECT_EQ(why["reports"][0]["ph"], 5.4);
  EXPECT_NE(why["reports"][0]["pace_before"], why["reports"][0]["pace_after"]);
  EXPECT_EQ(why["peak_opens"], why["reports"][0]["peak_opens_after"]);
  EXPECT_THAT(why["why"].get<std::string>(), HasSubstr("pH 5.40 at "));
  EXPECT_EQ(ask({{"fact", "explain"}, {"jar", "bottle"}})["stage"], "empty");
}

TEST_F(AQuestion, OfTheHostIsAnsweredTheSame) {
  const json question = {{"fact", "plan"}, {"jar", "blue"}};
  const json told = ask(question);
  const auto asked = home.instance().answer_to(question.dump(), home.now());
  ASSERT_TRUE(asked.ok()) << asked.why();
  EXPECT_EQ(json::parse(asked.value())["options"], told["options"]);
  EXPECT_EQ(json::parse(asked.value())["why"], told["why"]);
  for (const char* nonsense : {"", "{", "[]", R"({"fact":"start","jar":"blue"})", "plan"}) {
    EXPECT_FALSE(home.instance().answer_to(nonsense, home.now()).ok()) << nonsense;
  }
}

TEST_F(AQuestion, ContradictoryReportsAreKeptWeighedAndTold) {
  home.says_text(R"({"fact":"start","jar":"blue"})");
  home.lives_for(14h, 20.5);
  home.says_text(R"({"fact":"sign","jar":"blue","sign":"whey-pockets"})");
  home.lives_for(1h, 20.5);
  const json later = ask({{"fact", "sign"}, {"jar", "blue"}, {"sign", "still-milk"}});
  EXPECT_EQ(later["accepted"], true);
  EXPECT_EQ(later["id"], "fact-3");
  EXPECT_THAT(later["why"].get<std::string>(), HasSubstr("though at 04:00 you said whey-pockets"));
  EXPECT_THAT(home.state("jar-blue/care/answer"), HasSubstr("sign is noted; though at 04:00"));
  const json reports = ask({{"fact", "explain"}, {"jar", "blue"}})["reports"];
  ASSERT_EQ(reports.size(), 2u);
  EXPECT_NE(reports[0]["pace_after"], reports[1]["pace_after"]);
  // A sign in the usual order contradicts nothing.
  EXPECT_EQ(ask({{"fact", "sign"}, {"jar", "blue"}, {"sign", "whey-pockets"}})["why"], "");
}

TEST_F(AQuestion, OfManyAtOnceSomeAreRefusedAndFactsAreNot) {
  const json question{{"fact", "explain"}, {"jar", "blue"}};
  EXPECT_EQ(ask(question)["accepted"], true);
  for (int i = 0; i < 100; ++i) ask(question);
  EXPECT_THAT(why(question), StartsWith("more is asked at once"));
  EXPECT_EQ(ask({{"fact", "start"}, {"jar", "blue"}})["accepted"], true);
  home.lives_for(5min, 20.5);
  EXPECT_EQ(ask(question)["accepted"], true);
}

}  // namespace
}  // namespace wheymark::test
