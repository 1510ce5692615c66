// The life of the Homie devices: how they come, go, and are never left behind.
#include <gmock/gmock.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

class HomieLife : public ::testing::Test {
 protected:
  static json without_the_red_jar() {
    json configuration = small_configuration();
    configuration["jars"].erase(1);
    return configuration;
  }
  void goes_on_with(const json& configuration) {
    home.restarts_with(configuration);
    home.connects();
  }

  Home home;  // not connected yet
};

TEST_F(HomieLife, EveryDeviceIsInitThenDescribedThenReadyAndTheRootComesLast) {
  home.instance().connected(home.now());
  for (const char* device : {"jar-blue", "jar-red", "jar-bottle", "culture-tilly", "place-kitchen",
                             "place-larder", "place-fridge", "wheymark"}) {
    const std::string base = std::string("homie/5/") + device;
    const auto init = home.broker.place_of(base + "/$state", "init");
    const auto described =
        home.broker.place_of([&](const Published& m) { return m.topic == base + "/$description"; });
    EXPECT_LT(init, described) << device;
    EXPECT_LT(described, home.broker.published.size()) << device;
    EXPECT_EQ(home.broker.on(base + "/$state"), std::vector<std::string>{"init"});
  }
  const std::size_t before_ready = home.broker.published.size();
  home.instance().subscribed(home.now());
  const auto root = home.broker.place_of("homie/5/wheymark/$state", "ready");
  EXPECT_GE(root, before_ready);
  EXPECT_LT(root, home.broker.published.size());
  EXPECT_GT(root, home.broker.place_of("homie/5/jar-blue/$state", "ready"));
}

TEST_F(HomieLife, StatesAreRetainedWithQos2AndAPressIsNeither) {
  home.connects();
  home.presses("start");
  for (const Published& message : home.broker.published) {
    if (!message.topic.starts_with("homie/")) continue;
    const bool lasting = message.topic != "homie/5/jar-blue/care/step";
    EXPECT_EQ(message.retain, lasting) << message.topic;
    EXPECT_EQ(message.qos, lasting ? 2 : 0) << message.topic;
  }
}

TEST_F(HomieLife, ItsOwnEchoesAreLeftAloneAndAnOldWillIsOverruled) {
  home.connects();
  const std::string state = "homie/5/wheymark/$state";
  EXPECT_THAT(home.broker.subscribed, Contains(state));
  home.hears(state, "lost", true);  // what stood there before, delivered at subscription
  home.hears(state, "init");
  home.hears(state, "ready");
  EXPECT_THAT(home.broker.on(state), ElementsAre("init", "ready"));

  home.hears(state, "lost");

  EXPECT_THAT(home.broker.on(state), ElementsAre("init", "ready", "ready"));
  home.hears(state, "ready");  // the echo
  EXPECT_THAT(home.broker.on(state), ElementsAre("init", "ready", "ready"));
}

TEST_F(HomieLife, TwoThatQuarrelAboutOneStateDoSoAtMostEveryFiveSeconds) {
  home.connects();
  const std::string state = "homie/5/wheymark/$state";
  for (int i = 0; i < 100; ++i) home.hears(state, "sleeping");
  EXPECT_EQ(home.broker.on(state).size(), 3u);
  home.run_for(5s);
  EXPECT_EQ(home.broker.on(state).size(), 4u);
}

TEST_F(HomieLife, AJarThatLeavesTheConfigurationLeavesNoRetainedTopicInTheConventionsOrder) {
  home.connects();
  home.says({{"fact", "start"}, {"jar", "red"}});
  home.stops();
  ASSERT_THAT(home.broker.retained_below("homie/5/jar-red/"), Not(IsEmpty()));
  const std::size_t second_life = home.broker.published.size();
  goes_on_with(without_the_red_jar());

  for (const auto& [topic, payload] : home.broker.retained) {
    EXPECT_THAT(topic, Not(HasSubstr("jar-red"))) << payload;
  }
  // The root without it, ready; its $state; everything else.
  const auto after = [&](const std::string& topic, const std::string& payload) {
    return home.broker.place_of(topic, payload, second_life);
  };
  const auto state_gone = after("homie/5/jar-red/$state", "");
  EXPECT_LT(after("homie/5/wheymark/$state", "ready"), state_gone);
  EXPECT_LT(state_gone, after("homie/5/jar-red/$description", ""));
  EXPECT_LT(state_gone, after("homie/5/jar-red/batch/stage", ""));
  EXPECT_LT(after("homie/5/jar-red/batch/stage", ""), home.broker.published.size());
  EXPECT_THAT(home.broker.retained.at("homie/5/wheymark/$description"), Not(HasSubstr("jar-red")));
}

TEST_F(HomieLife, GhostsAreForgottenOnlyWhenTheBrokerSaysThatTheyAreGone) {
  home.connects();
  home.acknowledges = false;
  goes_on_with(
      without_the_red_jar());  // cleared, but the connection dies before it is acknowledged
  home.disconnects();
  home.acknowledges = true;
  const std::size_t before = home.broker.on("homie/5/jar-red/$state").size();
  home.connects();
  EXPECT_EQ(home.broker.on("homie/5/jar-red/$state").size(), before + 1);
  goes_on_with(without_the_red_jar());
  EXPECT_EQ(home.broker.on("homie/5/jar-red/$state").size(), before + 1);
}

TEST_F(HomieLife, AnotherDomainAndAnotherRootLeaveNothingOfTheOldOnes) {
  home.connects();
  goes_on_with(
      small_configuration({{"wire", {{"homie_domain", "home"}, {"root_device", "kefir"}}}}));
  EXPECT_THAT(home.broker.retained_below("homie/"), IsEmpty());
  EXPECT_EQ(home.broker.retained.at("home/5/kefir/$state"), "ready");

  const auto root_gone = home.broker.place_of("homie/5/wheymark/$state", "");
  EXPECT_LT(root_gone, home.broker.place_of("homie/5/jar-blue/$state", ""));
}

TEST_F(HomieLife, AForecastThatIsNotKnownAnyMoreIsAnEmptyTopic) {
  home.connects();
  home.hears("house/kitchen", "21.0");
  home.presses("start");
  ASSERT_NE(home.state("jar-blue/batch/peak-opens"), "");
  home.presses("discard");
  EXPECT_EQ(home.state("jar-blue/batch/peak-opens"), "");
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "empty");
}

TEST_F(HomieLife, TheLogCanBeTurnedOff) {
  goes_on_with(small_configuration({{"wire", {{"log", false}}}}));
  EXPECT_EQ(home.presses("strain")["accepted"], false);
  EXPECT_THAT(home.broker.on("homie/5/jar-blue/$log/warn"), IsEmpty());
}

TEST_F(HomieLife, APeakIsAnAlertUntilTheJarIsStrained) {
  home.connects();
  home.hears("house/kitchen", "22.0");
  home.presses("start");
  const std::string alert = "jar-blue/$alert/peak-open";
  EXPECT_EQ(home.state(alert), "");
  home.hears("homie/5/jar-blue/care/sign/set", "whey-pockets");
  EXPECT_THAT(home.state(alert), StartsWith("Blue jar: the peak is open."));

  home.hears("homie/5/jar-blue/care/sign/set", "whey-layer");
  EXPECT_EQ(home.state(alert), "");
  EXPECT_THAT(home.state("jar-blue/$alert/over-fermented"),
              StartsWith("Blue jar: over-fermented."));

  home.presses("strain");
  EXPECT_EQ(home.state("jar-blue/$alert/over-fermented"), "");
}

TEST_F(HomieLife, AnAlertThatEndedWhileWeWereAwayDoesNotStayBehind) {
  home.connects();
  home.hears("house/kitchen", "22.0");
  home.run_for(3h);
  const std::string alert = "homie/5/place-kitchen/$alert/thermometer-silent";
  ASSERT_TRUE(home.broker.retained.contains(alert));
  json configuration = small_configuration();
  configuration["places"][0].erase("thermometer");
  goes_on_with(configuration);
  EXPECT_FALSE(home.broker.retained.contains(alert));
}

// What was formed under a loose lid is gone; what is formed under a tight one presses.
TEST_F(HomieLife, OnlyATightLidHasAPressure) {
  home.connects();
  home.hears("house/kitchen", "22.0");
  home.presses("start");
  home.lives_for(10h, 22.0);
  EXPECT_EQ(home.state("jar-blue/batch/pressure"), "");
  home.hears("homie/5/jar-blue/care/say/set", R"({"fact":"lid","lid":"tight"})");
  EXPECT_EQ(home.state("jar-blue/batch/pressure"), "0");
  home.lives_for(6h, 22.0);
  EXPECT_THAT(home.state("jar-blue/batch/pressure"), ::testing::MatchesRegex("[1-9][0-9]*"));
}

}  // namespace
}  // namespace wheymark::test
