// What does the library make of a clock that steps?
#include "plugin/library/host_clock.hpp"

#include <gtest/gtest.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

TEST(HostClock, GoesWithAClockThatGoesOn) {
  HostClock clock;
  EXPECT_EQ(clock.reads(morning), morning);
  EXPECT_EQ(clock.reads(morning + 1min), morning + 1min);
  EXPECT_EQ(clock.news(), "");
}

TEST(HostClock, StandsStillWhileTheClockIsBehindAndGoesOnWhenItHasCaughtUp) {
  HostClock clock;
  clock.reads(morning);
  EXPECT_EQ(clock.reads(morning - 20min), morning);
  EXPECT_THAT(clock.news(), HasSubstr("20 min behind"));
  EXPECT_EQ(clock.believed_from(), morning + 10min);
  EXPECT_EQ(clock.reads(morning - 1min), morning);
  EXPECT_EQ(clock.news(), "") << "told once";
  EXPECT_EQ(clock.reads(morning + 1min), morning + 1min);
  EXPECT_FALSE(clock.believed_from());
}

TEST(HostClock, BelievesAClockThatStaysBehindForHalfAnHour) {
  HostClock clock;
  clock.reads(morning + 24h);
  EXPECT_EQ(clock.reads(morning), morning + 24h);
  EXPECT_EQ(clock.reads(morning + 29min), morning + 24h);
  EXPECT_EQ(clock.reads(morning + 30min), morning + 30min);
  EXPECT_EQ(clock.reads(morning + 31min), morning + 31min);
}

TEST(HostClock, AfterABootWithoutItsTimeNothingHappensBeforeWhatWasKept) {
  HostClock clock;
  clock.has_been(morning);
  EXPECT_EQ(clock.reads(morning - 3h), morning);
}

class AHomeWhoseClockSteps : public AtHome {
 protected:
  // What is retained, without what is published again at every connection or drawn now and then.
  [[nodiscard]] std::map<std::string, std::string> values() const {
    auto all = home.broker.retained;
    std::erase_if(all, [](const auto& value) {
      return value.first.find('$') != std::string::npos ||
             value.first.find("/tile/") != std::string::npos || value.first.ends_with("/answer");
    });
    return all;
  }
  // The clock is a day ahead for an hour, and thermometers go on.
  void leap_of_a_day() {
    const Instant before = home.now();
    home.clock_says(before + 24h);
    home.lives_for(1h);
    home.clock_says(before + 1h);
  }
};

TEST_F(AHomeWhoseClockSteps, ALeapOfADayDoesNotStopThermometersForADay) {
  home.lives_for(2h);
  leap_of_a_day();
  home.lives_for(1h);
  home.run_for(1min);
  home.hears("house/kitchen", "23.4");
  EXPECT_EQ(home.state("place-kitchen/air/temperature"), "23.4");
  EXPECT_EQ(home.state("place-kitchen/air/thermometer"), "good");
  EXPECT_THAT(home.broker.log, Contains(HasSubstr("min behind what happened last")));
}

TEST_F(AHomeWhoseClockSteps, AfterALeapTheBatchIsWhereItWouldBeWithoutIt) {
  Home calm;
  calm.connects();
  calm.read_all();
  for (Home* one : {&home, &calm}) {
    one->lives_for(1h);
    EXPECT_EQ(one->says({{"fact", "start"}, {"jar", "blue"}})["accepted"], true);
    one->lives_for(1h);
  }
  leap_of_a_day();
  calm.lives_for(1h);
  for (Home* one : {&home, &calm}) one->lives_for(2h);
  // The air is the same throughout, so that the hour without readings costs nothing.
  EXPECT_EQ(home.now(), calm.now());
  for (const char* what : {"progress", "ph", "peak-opens", "milk-temperature"}) {
    const std::string value = std::string("jar-blue/batch/") + what;
    EXPECT_EQ(home.state(value), calm.state(value)) << what;
  }
}

TEST_F(AHomeWhoseClockSteps, AHouseholdFoldedAgainAfterALeapIsTheSame) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.lives_for(1h);
  leap_of_a_day();
  home.lives_for(2h);
  const auto before = values();
  home.restarts();
  home.connects();
  for (const auto& [topic, value] : values()) EXPECT_EQ(value, before.at(topic)) << topic;
  EXPECT_EQ(home.state("jar-blue/batch/progress"), before.at("homie/5/jar-blue/batch/progress"));
}

}  // namespace
}  // namespace wheymark::test
