// What thermometers send is believed only as far as it can be, and never does harm.
#include <gtest/gtest.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

class Readings : public Connected {};

TEST_F(Readings, AreShownWithOneDecimalInCelsius) {
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "silent");
  home.hears("house/kitchen", " 21.44 ");
  home.hears("house/larder", R"({"air":68.0,"at":"2027-03-01T08:00:00Z"})");
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.4");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  EXPECT_EQ(home.state("place-larder/air/temperature"), "20.0");
}

TEST_F(Readings, ThatAreNoneChangeNothingAndAreLogged) {
  home.hears("house/kitchen", "21.0");
  home.run_for(1min);
  for (const std::string& broken :
       {std::string("warm"), std::string("inf"), std::string("-inf"), std::string("1e400"),
        std::string("21.5 V"), std::string("0x15"), std::string("{\"t\":21}"), std::string("[21]"),
        std::string("21.5\0", 5), std::string("\xff"), std::string(1'000'000, '9')}) {
    const std::size_t lines = home.broker.log.size();
    home.hears("house/kitchen", broken);
    ASSERT_GT(home.broker.log.size(), lines) << broken.substr(0, 20);
    EXPECT_THAT(home.broker.log.back(), HasSubstr("kitchen"));
    EXPECT_LT(home.broker.log.back().size(), 300u);
    home.run_for(25h);  // after a day there is another line
    home.hears("house/kitchen", "21.0");
  }
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.0");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
}

TEST_F(Readings, InTheWrongUnitAreImplausibleAndToldOnce) {
  home.hears("house/kitchen", "21.0");
  for (int i = 0; i < 10; ++i) {
    home.run_for(5min);
    home.hears("house/kitchen", "70.1");  // Fahrenheit
  }
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.0");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "implausible");
  EXPECT_THAT(home.told(), Contains("place-kitchen thermometer-implausible").Times(1));
  home.run_for(5min);
  home.hears("house/kitchen", "21.2");
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "21.2");
  EXPECT_THAT(home.told(), Contains("place-kitchen thermometer-back").Times(1));
}

TEST_F(Readings, RetainedWithoutAnInstantAreOfUnknownAgeAndNotUsed) {
  home.hears("house/kitchen", "21.0", true);
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "");
  EXPECT_THAT(home.broker.log, Contains(HasSubstr("retained reading without an instant")));
}

TEST_F(Readings, RetainedWithAnInstantCountFromThenAndAreNoSignOfLife) {
  home.hears("house/larder", R"({"air":68.0,"at":"2027-03-01T05:00:00Z"})", true);
  EXPECT_EQ(home.state("place-larder/air/temperature"), "20.0");
  EXPECT_EQ(home.state("place-larder/air/thermometer"), "silent");  // for three hours
  home.run_for(151min);
  EXPECT_THAT(home.told(), Contains("place-larder thermometer-silent"));
}

TEST_F(Readings, OfAnImpossibleTimeCountAsOfNow) {
  double air_f = 68.0;
  for (const char* at : {"1970-01-01T00:00:00Z", "2027-03-01T09:00:00Z", "2200-01-01T00:00:00Z"}) {
    home.run_for(1min);
    home.hears("house/larder", json{{"air", air_f}, {"at", at}}.dump());
    EXPECT_EQ(home.state("place-larder/air/temperature"), air_f == 68.0   ? "20.0"
                                                          : air_f == 69.8 ? "21.0"
                                                                          : "22.0")
        << at;
    air_f += 1.8;
  }
}

TEST_F(Readings, RetainedOfAnImpossibleTimeAreNotUsed) {
  home.hears("house/larder", R"({"air":68.0,"at":"1970-01-01T00:00:00Z"})", true);
  EXPECT_EQ(home.state("place-larder/air/temperature"), "");
}

TEST_F(Readings, OfADeadThermometerTurnSilentWithoutAnythingElseHappening) {
  home.hears("house/kitchen", "21.0");
  home.run_for(149min);
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  home.run_for(1min);
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "silent");
}

TEST_F(Readings, OfAThermometerThatDiedDaysAgoAreNotCalledGoodAfterARestart) {
  home.hears("house/kitchen", "21.0");
  home.run_for(48h);
  home.restarts();
  home.connects();
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "silent");
  home.run_for(48h);
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "silent");
  EXPECT_THAT(home.told(), Contains("place-kitchen thermometer-silent").Times(1));
}

TEST_F(Readings, GoOnCountingWhenTheDiskIsFull) {
  home.hears("house/kitchen", "21.0");
  home.disk.is_full = true;
  home.run_for(10min);
  home.hears("house/kitchen", "23.0");
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "23.0");
  home.run_for(10min);  // and the flush that fails is tried again, not at once and for ever
  home.disk.is_full = false;
  home.run_for(10min);
  home.restarts();
  home.connects();
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "23.0");
}

TEST_F(Readings, OfOneTopicMayServeTwoPlaces) {
  json configuration = small_configuration();
  configuration["places"].push_back(
      {{"id", "shelf"},
       {"kind", "room"},
       {"thermometer", {{"topic", "house/kitchen"}, {"offset_k", 1.5}}}});
  Home both(configuration);
  both.connects();
  both.hears("house/kitchen", "20.0");
  EXPECT_EQ(both.state("place-kitchen/air/temperature"), "20.0");
  EXPECT_EQ(both.state("place-shelf/air/temperature"), "21.5");
  EXPECT_THAT(both.broker.subscribed, Contains("house/kitchen").Times(1));
}

// --- a clock that is not set --------------------------------------------------------------------

class NoClock : public ::testing::Test {
 protected:
  NoClock() {
    home.clock_says(Instant{} + 90s);  // a hub without a battery, just switched on
    home.connects();
  }
  Home home;
};

TEST_F(NoClock, NothingIsPublished) {
  home.hears("house/kitchen", "21.0");
  home.run_for(1h);
  EXPECT_THAT(home.broker.published, IsEmpty());
  EXPECT_THAT(home.broker.log, ElementsAre(HasSubstr("the clock is not set")));
}

TEST_F(NoClock, WhatIsSaidIsStillAnswered) {
  const json answer = home.says({{"fact", "start"}, {"jar", "blue"}, {"ref", "a"}});
  EXPECT_EQ(answer["accepted"], false);
  EXPECT_EQ(answer["ref"], "a");
  EXPECT_THAT(answer["why"].get<std::string>(), HasSubstr("the clock here is not set"));
}

// The connection was made before the clock was set; nobody will make it again.
TEST_F(NoClock, TheDevicesAndTheListeningBeginOnceItIsSet) {
  EXPECT_THAT(home.broker.subscribed, Contains("wheymark/say"));
  ASSERT_TRUE(home.instance().next_tick());
  EXPECT_LE(*home.instance().next_tick(), morning) << "nobody would look at the clock again";
  home.clock_says(morning);
  home.run_for(0ms);
  EXPECT_EQ(home.state("wheymark/$state"), "ready");
  EXPECT_EQ(home.state("jar-blue/$state"), "ready");
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
  home.hears("house/kitchen", "21.0");
  EXPECT_EQ(home.says({{"fact", "start"}, {"jar", "blue"}})["accepted"], true);
}

TEST_F(NoClock, AClockBeyondReasonIsNotSetEither) {
  home.clock_says(Instant{std::chrono::sys_days{std::chrono::year{2300} / 1 / 1}});
  home.run_for(1h);
  EXPECT_THAT(home.broker.published, IsEmpty());
}

TEST_F(Readings, AClockThatIsMovedBackDoesNotTakeTimeBack) {
  home.hears("house/kitchen", "21.0");
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.lives_for(2h);
  const std::string progress = home.state("jar-blue/batch/progress");
  ASSERT_GT(std::stod(progress), 0.0);

  home.clock_says(morning);
  home.hears("house/kitchen", "21.5");
  EXPECT_EQ(home.state("jar-blue/batch/progress"), progress);

  EXPECT_EQ(home.says({{"fact", "strain"}, {"jar", "blue"}})["accepted"], true);
  const json strained = home.events().back();
  EXPECT_EQ(strained["type"], "wheymark.strained");
  EXPECT_EQ(strained["time"], "2027-03-01T10:00:00Z");
}

}  // namespace
}  // namespace wheymark::test
