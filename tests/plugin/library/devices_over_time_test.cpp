// How devices behave over hours and days: rhythms, several sensors, floods; and what a sensible
// person expects to see of it.
#include <algorithm>
#include <gtest/gtest.h>

#include "tests/plugin/library/devices.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

// --- rhythms ------------------------------------------------------------------------------------

class Rhythms : public ::testing::Test {
 protected:
  Rhythms() { home.connects(); }
  void speaks_every(Milliseconds pause, Milliseconds time) {
    for (const Instant until = home.now() + time; home.now() < until;) {
      home.run_for(pause);
      home.hears("house/kitchen", home.now().time_since_epoch() % 2h < 1h ? "21.0" : "21.5");
    }
  }
  Home home;
};

TEST_F(Rhythms, OneThatSpeaksOnceAnHourIsNeverCalledSilent) {
  home.hears("house/kitchen", "21.0");
  speaks_every(1h, 48h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 0U);
  EXPECT_EQ(times(home, "place-kitchen thermometer-back"), 0U);
}

TEST_F(Rhythms, OneThatSpokeOnceAnHourAndDiesIsToldOnceWithinThreeHours) {
  home.hears("house/kitchen", "21.0");
  speaks_every(1h, 48h);
  home.run_for(2h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 0U);
  home.run_for(1h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 1U);
  home.run_for(48h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 1U);
}

TEST_F(Rhythms, OneThatSpokeEachMinuteAndDiesIsToldWithinAnHour) {
  home.hears("house/kitchen", "21.0");
  speaks_every(1min, 3h);
  home.run_for(1h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 1U);
}

// On a change of half a degree, and at least each three hours: in the evening often, at night
// hardly.
TEST_F(Rhythms, OneThatSpeaksOnAChangeIsCalledSilentAtMostOnceInThreeDays) {
  home.hears("house/kitchen", "21.0");
  for (int day = 0; day < 3; ++day) {
    for (const auto pause : {10min, 20min, 15min, 25min, 30min, 40min, 20min, 60min, 35min, 45min,
                             90min, 180min, 180min, 180min, 180min, 90min, 30min, 60min, 150min}) {
      home.run_for(pause);
      home.hears("house/kitchen", pause < 60min ? "21.5" : "21.0");
    }
  }
  EXPECT_LE(times(home, "place-kitchen thermometer-silent"), 1U);
}

TEST_F(Rhythms, AreTheSameAfterARestart) {
  home.hears("house/kitchen", "21.0");
  speaks_every(5min, 5h);
  home.restarts();
  home.connects();
  home.run_for(44min);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 0U);
  home.run_for(2min);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 1U);
}

TEST_F(Rhythms, WhatIsConfiguredRules) {
  home.restarts_with(kitchen_with({{"silent_after_min", 30}}));
  home.connects();
  home.hears("house/kitchen", "21.0");
  speaks_every(1h, 3h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 3U);
}

TEST_F(Rhythms, OneThatHasNeverSpokenIsTold) {
  home.run_for(4h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 1U);
}

// --- several ------------------------------------------------------------------------------------

class Several : public ::testing::Test {
 protected:
  static json three() { return {{{"topic", "k/a"}}, {{"topic", "k/b"}}, {{"topic", "k/c"}}}; }
  static json two() { return {{{"topic", "k/a"}}, {{"topic", "k/b"}}}; }
  static void speak(Home& home, const std::vector<std::string>& airs, int times = 6) {
    for (int i = 0; i < times; ++i) {
      home.run_for(5min);
      for (std::size_t k = 0; k < airs.size(); ++k) {
        home.run_for(20s);
        if (!airs[k].empty()) home.hears(std::string("k/") + "abc"[k], airs[k]);
      }
    }
  }
};

TEST_F(Several, ThatAgreeCountAsTheirMean) {
  Home home(kitchen_with(two()));
  home.connects();
  speak(home, {"21.0", "22.0"});
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.5");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
}

TEST_F(Several, AreNotLedAstrayByOneOfThree) {
  Home home(kitchen_with(three()));
  home.connects();
  speak(home, {"20.8", "21.2", "35.0"}, 40);
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.0");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  EXPECT_THAT(alerts_of(home, "kitchen"), HasSubstr("k/c"));
}

TEST_F(Several, GoOnWhenOneOfThemDies) {
  Home home(kitchen_with(two()));
  home.connects();
  speak(home, {"21.0", "21.4"});
  speak(home, {"21.0", ""}, 60);
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.0");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  EXPECT_EQ(log_of(home, "k/b").size(), 1U);
}

TEST_F(Several, OfWhichOneIsNonsenseGoOnAndItIsNamed) {
  Home home(kitchen_with(two()));
  home.connects();
  speak(home, {"21.0", "n/a"}, 30);
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.0");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  EXPECT_EQ(log_of(home, "n/a").size(), 1U);
}

// --- unlike sensors on one topic ----------------------------------------------------------------

TEST_F(Several, OnOneTopicAreNoticedAndToldWithWhatTellsThemApart) {
  Home home(kitchen_with({{"pointer", "/t"}}));
  home.connects();
  for (int i = 0; i < 60; ++i) {
    home.run_for(3min);
    home.hears("house/kitchen", json{{"id", "shelf"}, {"t", 21.0 + 0.1 * (i % 3)}}.dump());
    home.run_for(1min);
    home.hears("house/kitchen", json{{"id", "hall"}, {"t", 17.0 + 0.1 * (i % 2)}}.dump());
  }
  EXPECT_THAT(alerts_of(home, "kitchen"),
              AllOf(HasSubstr("house/kitchen"), HasSubstr(R"({"/id":"shelf"})")));
  EXPECT_EQ(log_of(home, "two thermometers").size(), 1U);
}

TEST_F(Several, OnOneTopicWithoutANameAreNoticedByTheirNumbers) {
  Home home;
  home.connects();
  for (int i = 0; i < 60; ++i) {
    home.run_for(3min);
    home.hears("house/kitchen", i % 2 == 0 ? "21.2" : "21.0");
    home.run_for(1min);
    home.hears("house/kitchen", "4.1");
  }
  EXPECT_EQ(log_of(home, "two thermometers").size(), 1U);
  EXPECT_LE(home.told().size(), 4U) << ::testing::PrintToString(home.told());
}

TEST_F(Several, OfWhichTheConfigurationPicksOneByItsName) {
  Home home(kitchen_with({{"pointer", "/t"}, {"match", {{"/id", "shelf"}}}}));
  home.connects();
  for (int i = 0; i < 60; ++i) {
    home.run_for(3min);
    home.hears("house/kitchen", R"({"id":"shelf","t":21.0})");
    home.run_for(1min);
    home.hears("house/kitchen", R"({"id":"freezer","t":-18.0})");
  }
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.0");
  EXPECT_THAT(told_of(home, "kitchen"), IsEmpty());
  EXPECT_THAT(log_of(home, "kitchen"), IsEmpty());
}

// --- known to be away, not understood, mended ---------------------------------------------------

TEST(Away, ByItsAvailabilityTopicIsToldAsThatOnceItIsSilent) {
  Home home(kitchen_with({{"availability", {{"topic", "house/kitchen/status"}}}}));
  home.connects();
  EXPECT_THAT(home.broker.subscribed, Contains("house/kitchen/status"));
  home.hears("house/kitchen/status", "online", true);
  home.lives_for(2h, 21.0);
  home.hears("house/kitchen/status", "offline");
  home.run_for(3h);
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 1U);
  EXPECT_THAT(home.events().back()["data"]["text"].get<std::string>(), HasSubstr("\"offline\""));
  EXPECT_THAT(alerts_of(home, "kitchen"), HasSubstr("\"offline\""));
}

TEST(Away, ByATextOfItsHubIsToldAsThatOnceItIsSilent) {
  Home home;
  home.connects();
  home.lives_for(2h, 21.0);
  for (int i = 0; i < 30; ++i) {
    home.run_for(10min);
    home.hears("house/kitchen", "unavailable");
  }
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "silent");
  EXPECT_EQ(times(home, "place-kitchen thermometer-silent"), 1U);
  EXPECT_THAT(alerts_of(home, "kitchen"), HasSubstr("\"unavailable\""));
  EXPECT_LE(log_of(home, "unavailable").size(), 1U);
}

TEST(NotUnderstood, IsOverWhenAReadingComesAndTheReturnIsTold) {
  Home home;
  home.connects();
  home.lives_for(2h, 21.0);
  for (int i = 0; i < 12; ++i) {
    home.run_for(10min);
    home.hears("house/kitchen", "n/a");
  }
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "not-understood");
  home.lives_for(30min, 21.0);
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  EXPECT_THAT(alerts_of(home, "kitchen"), IsEmpty());
  EXPECT_THAT(told_of(home, "kitchen"),
              ElementsAre("thermometer-not-understood", "thermometer-back"));
}

TEST(NotUnderstood, OnceBetweenGoodReadingsIsWorthALineOfTheLogAndNoMore) {
  Home home;
  home.connects();
  for (int i = 0; i < 20; ++i) {
    home.lives_for(1h, 21.0);
    home.hears("house/kitchen", "n/a");
  }
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  EXPECT_THAT(told_of(home, "kitchen"), IsEmpty());
  EXPECT_LE(log_of(home, "n/a").size(), 4U);
}

TEST(NotUnderstood, IsNotToldAgainAfterARestart) {
  Home home;
  home.connects();
  home.lives_for(2h, 21.0);
  for (int i = 0; i < 12; ++i) {
    home.run_for(10min);
    home.hears("house/kitchen", "n/a");
  }
  home.restarts();
  home.connects();
  for (int i = 0; i < 12; ++i) {
    home.run_for(10min);
    home.hears("house/kitchen", "n/a");
  }
  EXPECT_EQ(times(home, "place-kitchen thermometer-not-understood"), 1U);
}

TEST(NotUnderstood, IsOnThePage) {
  Home home;
  home.connects();
  home.hears("house/kitchen", "n/a");
  const auto page = home.instance().document_at("/", home.now());
  ASSERT_TRUE(page);
  EXPECT_THAT(page->body, HasSubstr("is no temperature"));
}

// --- the log ------------------------------------------------------------------------------------

TEST(TheLog, IsShortForASensorEachSecondAndNamesTheFridgeThatSendsNonsense) {
  Home home;
  home.connects();
  for (int i = 0; i < 3 * 3600; ++i) {
    home.clock_says(home.now() + 1s);
    home.hears("house/kitchen", "21.3");
    if (i % 7 == 0) home.hears("house/fridge", "error 7");
  }
  EXPECT_LE(home.broker.log.size(), 12U);
  EXPECT_THAT(home.broker.log, Contains(AllOf(HasSubstr("fridge"), HasSubstr("error 7"))));
}

TEST(TheLog, SumsUpWhatItKeptBack) {
  Home home(kitchen_with(timed));
  home.connects();
  for (int i = 0; i < 2000; ++i) {
    home.run_for(1min);
    home.hears("house/kitchen", R"({"t":21.0,"at":"noon"})");
  }
  EXPECT_LE(log_of(home, "noon").size(), 12U);
  EXPECT_THAT(home.broker.log, Contains(HasSubstr("more like it")));
}

}  // namespace
}  // namespace wheymark::test
