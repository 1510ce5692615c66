// The life of the Homie devices: how they come, go, and are never left behind.
#include <fmt/format.h>
#include <gmock/gmock.h>

#include "tests/daemon/temporary_folder.hpp"
#include "tests/plugin/library/hub.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::Each;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::StartsWith;

class HomieLife : public OnAHub {
 protected:
  // Between two lives only a store on the disk remembers.
  void keep_on_disk() { store_file = folder.path_of("wheymark.db"); }
  static nlohmann::json without_the_swing_top() {
    nlohmann::json jars = nlohmann::json::parse(two_jars)["jars"];
    jars.erase(1);
    return {{"jars", jars}};
  }

  TemporaryFolder folder;
};

TEST_F(HomieLife, EveryDeviceIsInitThenDescribedThenReadyAndTheRootComesLast) {
  open();
  instance->connected(now);
  for (const char* device :
       {"jar-blue", "jar-swing", "culture-old", "place-kitchen", "place-fridge", "wheymark"}) {
    const std::string base = std::string("homie/5/") + device;
    const auto init = hub.place_of(base + "/$state", "init");
    const auto described =
        hub.place_of([&](const Published& m) { return m.topic == base + "/$description"; });
    EXPECT_GE(init, 0) << device;
    EXPECT_GT(described, init) << device;
    EXPECT_EQ(hub.on(base + "/$state"), std::vector<std::string>{"init"});
  }
  const std::size_t before_ready = hub.published.size();
  instance->subscribed(now);
  const auto root = hub.place_of("homie/5/wheymark/$state", "ready");
  EXPECT_GE(root, static_cast<std::ptrdiff_t>(before_ready));
  EXPECT_GT(root, hub.place_of("homie/5/jar-blue/$state", "ready"));
}

TEST_F(HomieLife, StatesAreRetainedWithQos2AndAPressIsNeither) {
  start_anew();
  press("start");
  for (const Published& message : hub.published) {
    if (!message.topic.starts_with("homie/")) continue;
    const bool lasting = message.topic != "homie/5/jar-blue/care/step";
    EXPECT_EQ(message.retain, lasting) << message.topic;
    EXPECT_EQ(message.qos, lasting ? 2 : 0) << message.topic;
  }
}

TEST_F(HomieLife, AStopSaysDisconnected) {
  start_anew();
  instance->stop(now);
  EXPECT_EQ(hub.retained.at("homie/5/wheymark/$state"), "disconnected");
  EXPECT_EQ(hub.retained.at("homie/5/jar-blue/$state"), "disconnected");
}

TEST_F(HomieLife, ItsOwnEchoesAreLeftAloneAndAnOldWillIsOverruled) {
  start_anew();
  const std::string state = "homie/5/wheymark/$state";
  EXPECT_THAT(hub.filters, Contains(state));
  say(state, "lost", true);  // what stood there before, delivered at subscription
  say(state, "init");
  say(state, "ready");
  EXPECT_THAT(hub.on(state), ElementsAre("init", "ready"));

  say(state, "lost");

  EXPECT_THAT(hub.on(state), ElementsAre("init", "ready", "ready"));
  say(state, "ready");  // the echo
  EXPECT_THAT(hub.on(state), ElementsAre("init", "ready", "ready"));
}

TEST_F(HomieLife, TwoThatQuarrelAboutOneStateDoSoAtMostEveryFiveSeconds) {
  start_anew();
  const std::string state = "homie/5/wheymark/$state";
  for (int i = 0; i < 100; ++i) say(state, "sleeping");
  EXPECT_EQ(hub.on(state).size(), 3u);
  ASSERT_TRUE(instance->next_tick());
  now = *instance->next_tick();
  EXPECT_LE(now, instant("2027-03-01T08:00:05Z"));
  instance->tick(now);
  EXPECT_EQ(hub.on(state).size(), 4u);
}

TEST_F(HomieLife, AJarThatLeavesTheConfigurationLeavesNoRetainedTopic) {
  keep_on_disk();
  start_anew();
  instance->stop(now);
  ASSERT_THAT(hub.retained_below("homie/5/jar-swing/"), Not(IsEmpty()));

  open(configuration(without_the_swing_top()));
  const std::size_t second_life = hub.published.size();
  connect();

  EXPECT_THAT(hub.retained_below("homie/5/jar-swing/"), IsEmpty());
  // The order of the convention: the root without it, ready; its $state; everything else.
  const auto after = [&](const std::string& topic, const std::string& payload) {
    const auto found = std::find_if(
        hub.published.begin() + static_cast<std::ptrdiff_t>(second_life), hub.published.end(),
        [&](const Published& m) { return m.topic == topic && m.payload == payload; });
    return found - hub.published.begin();
  };
  const auto root_ready = after("homie/5/wheymark/$state", "ready");
  const auto state_gone = after("homie/5/jar-swing/$state", "");
  const auto description_gone = after("homie/5/jar-swing/$description", "");
  const auto stage_gone = after("homie/5/jar-swing/batch/stage", "");
  EXPECT_LT(root_ready, state_gone);
  EXPECT_LT(state_gone, description_gone);
  EXPECT_LT(description_gone, stage_gone);
  EXPECT_LT(stage_gone, static_cast<std::ptrdiff_t>(hub.published.size()));
  EXPECT_THAT(hub.retained.at("homie/5/wheymark/$description"), Not(HasSubstr("jar-swing")));
}

TEST_F(HomieLife, GhostsAreForgottenOnlyWhenTheBrokerSaysThatTheyAreGone) {
  keep_on_disk();
  start_anew();
  open(configuration(without_the_swing_top()));
  instance->connected(now);
  instance->subscribed(now);  // cleared, but the connection dies before it is acknowledged
  instance->disconnected(now);
  const std::size_t before = hub.on("homie/5/jar-swing/$state").size();
  connect();
  EXPECT_EQ(hub.on("homie/5/jar-swing/$state").size(), before + 1);
  start_anew(configuration(without_the_swing_top()));
  EXPECT_EQ(hub.on("homie/5/jar-swing/$state").size(), before + 1);
}

TEST_F(HomieLife, AnotherDomainAndAnotherRootLeaveNothingOfTheOldOnes) {
  keep_on_disk();
  start_anew();
  start_anew(configuration({{"wire", {{"homie_domain", "home"}, {"root_device", "kefir"}}}}));
  EXPECT_THAT(hub.retained_below("homie/"), IsEmpty());
  EXPECT_EQ(hub.retained.at("home/5/kefir/$state"), "ready");

  const auto root_gone = hub.place_of("homie/5/wheymark/$state", "");
  EXPECT_LT(root_gone, hub.place_of("homie/5/jar-blue/$state", ""));
}

TEST_F(HomieLife, WhatIsNotKnownAnyMoreIsAnEmptyTopic) {
  keep_on_disk();
  start_anew();
  say("house/kitchen", "21.0");
  press("start");
  ASSERT_NE(of_blue("batch/peak-opens"), "");
  press("discard");
  EXPECT_EQ(of_blue("batch/peak-opens"), "");
  EXPECT_EQ(of_blue("batch/stage"), "empty");
}

TEST_F(HomieLife, AfterAReconnectionEverythingIsThereAgain) {
  start_anew();
  say("house/kitchen", "21.0");
  press("start");
  pass(1min, 21.0);
  instance->disconnected(now);
  connect();  // then everything is as of this instant
  const auto before = hub.retained;
  instance->disconnected(now);
  hub.retained.clear();  // a broker without a disk
  connect();
  EXPECT_TRUE(hub.retained == before);  // too long to be shown
}

// Homie 5, "Float", "DateTime", "Enum": what a payload may look like. From the convention's text.
TEST_F(HomieLife, EveryPayloadHasTheFormOfItsDatatype) {
  start_anew();
  say("house/kitchen", "21.04");
  press("start");
  pass(14h, 21.0);
  press("strain");
  pass(2h, 21.0);
  press("store");
  std::size_t checked = 0;
  for (const auto& [topic, payload] : hub.retained) {
    if (!topic.ends_with("/$description")) continue;
    const std::string device = topic.substr(0, topic.size() - std::string("$description").size());
    const nlohmann::json description = nlohmann::json::parse(payload);
    for (const auto& [node, shape] : description["nodes"].items()) {
      for (const auto& [property, form] : shape["properties"].items()) {
        const auto value = hub.retained.find(device + node + "/" + property);
        if (value == hub.retained.end()) continue;
        ++checked;
        const std::string type = form["datatype"];
        if (type == "float") {
          EXPECT_THAT(value->second, ::testing::MatchesRegex("-?[0-9]+(\\.[0-9]+)?"));
        } else if (type == "datetime") {
          EXPECT_THAT(value->second, ::testing::MatchesRegex(
                                         "[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z"));
        } else if (type == "enum") {
          const std::string words = fmt::format(",{},", form["format"].get<std::string>());
          EXPECT_THAT(words, HasSubstr(fmt::format(",{},", value->second)));
        }
      }
    }
  }
  EXPECT_GE(checked, 25u);
}

TEST_F(HomieLife, CommandsForAnothersJarAreNotOursToAnswer) {
  start_anew();
  say("homie/5/jar-of-the-neighbours/care/step/set", "start");
  EXPECT_THAT(hub.on("wheymark/answer"), IsEmpty());
}

TEST_F(HomieLife, ARetainedCommandIsNotObeyed) {
  start_anew();
  say("homie/5/jar-blue/care/step/set", "start", true);
  EXPECT_EQ(of_blue("batch/stage"), "empty");
  EXPECT_THAT(hub.last_on("homie/5/wheymark/$log/warn"), HasSubstr("without retain"));
}

TEST_F(HomieLife, TheLogCanBeTurnedOff) {
  start_anew(configuration({{"wire", {{"log", false}}}}));
  press("strain");
  EXPECT_THAT(hub.on("homie/5/jar-blue/$log/warn"), IsEmpty());
  EXPECT_EQ(answer()["accepted"], false);
}

TEST_F(HomieLife, APeakIsAnAlertUntilTheJarIsStrained) {
  start_anew();
  say("house/kitchen", "22.0");
  press("start");
  const std::string alert = "$alert/peak-open";
  EXPECT_EQ(of_blue(alert), "");
  say("homie/5/jar-blue/care/sign/set", "whey-pockets");
  EXPECT_THAT(of_blue(alert), StartsWith("Blue jar: the peak is open."));

  say("homie/5/jar-blue/care/sign/set", "whey-layer");
  EXPECT_EQ(of_blue(alert), "");
  EXPECT_THAT(of_blue("$alert/over-fermented"), StartsWith("Blue jar: over-fermented."));

  press("strain");
  EXPECT_EQ(of_blue("$alert/over-fermented"), "");
}

TEST_F(HomieLife, AnAlertThatEndedWhileWeWereAwayDoesNotStayBehind) {
  keep_on_disk();
  start_anew();
  say("house/kitchen", "22.0");
  pass(2h);
  const std::string alert = "homie/5/place-kitchen/$alert/thermometer-silent";
  ASSERT_TRUE(hub.retained.contains(alert));
  nlohmann::json changes;
  changes["places"] = nlohmann::json::parse(two_jars)["places"];
  changes["places"][0].erase("thermometer");
  start_anew(configuration(changes));
  EXPECT_FALSE(hub.retained.contains(alert));
}

// What was formed under a loose lid is gone; what is formed under a tight one presses.
TEST_F(HomieLife, OnlyATightLidHasAPressure) {
  start_anew();
  say("house/kitchen", "22.0");
  press("start");
  pass(10h, 22.0);
  EXPECT_EQ(of_blue("batch/pressure"), "");
  say("homie/5/jar-blue/care/say/set", R"({"fact":"lid","lid":"tight"})");
  EXPECT_EQ(of_blue("batch/pressure"), "0");
  pass(6h, 22.0);
  EXPECT_THAT(of_blue("batch/pressure"), ::testing::MatchesRegex("[1-9][0-9]*"));
}

}  // namespace
}  // namespace wheymark::test
