// What a broker gets at every connection: everything, in the convention's order, and of messages
// that must arrive each until it has arrived.
#include <algorithm>
#include <gtest/gtest.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::IsSupersetOf;
using ::testing::Not;
using ::testing::SizeIs;

class Connection : public AtHome {};

std::vector<std::string> devices_of(const Home& home) {
  const json root = json::parse(home.state("wheymark/$description"));
  std::vector<std::string> devices{"wheymark"};
  for (const json& child : root["children"]) devices.push_back(child);
  return devices;
}

TEST_F(Connection, EachDeviceGoesThroughInitDescriptionValuesAndReady) {
  const auto& all = home.broker.published;
  const auto devices = devices_of(home);
  ASSERT_THAT(devices, SizeIs(1 + 3 + 1 + 3));
  for (const std::string& device : devices) {
    const std::string base = "homie/5/" + device + "/";
    const std::size_t init = home.broker.place_of(base + "$state", "init");
    const std::size_t ready = home.broker.place_of(base + "$state", "ready");
    const std::size_t described =
        home.broker.place_of(base + "$description", home.state(device + "/$description"));
    ASSERT_LT(ready, all.size()) << device;
    EXPECT_LT(init, described);
    EXPECT_LT(described, ready);
    const json description = json::parse(home.state(device + "/$description"));
    for (const auto& [node, shape] : description["nodes"].items()) {
      for (const auto& [property, rest] : shape["properties"].items()) {
        if (!rest.value("retained", true) || property == "answer") continue;  // nothing was asked
        const auto first = std::find_if(all.begin(), all.end(), [&](const Published& p) {
          return p.topic == base + node + "/" + property;
        });
        ASSERT_NE(first, all.end()) << device << " " << node << " " << property;
        const auto at = static_cast<std::size_t>(first - all.begin());
        EXPECT_GT(at, described);
        EXPECT_LT(at, ready);
      }
    }
  }
}

TEST_F(Connection, StatesAreRetainedAtQos2AndEventsAreNeither) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  for (const Published& p : home.broker.published) {
    if (p.topic.starts_with("homie/") || p.topic.starts_with("wheymark/tile/")) {
      EXPECT_TRUE(p.retain && p.qos == 2 && p.delivery == 0) << p.topic;
    } else {
      EXPECT_TRUE(!p.retain && p.qos == 1 && p.delivery != 0) << p.topic;
    }
  }
}

TEST_F(Connection, AsksForReportsButtonsAndThermometers) {
  EXPECT_THAT(home.broker.subscribed,
              IsSupersetOf({"wheymark/say", "homie/5/+/care/+/set", "house/kitchen", "house/larder",
                            "house/fridge"}));
}

TEST_F(Connection, OnlyWhatHasChangedIsPublishedAgain) {
  const std::size_t before = home.broker.published.size();
  home.run_for(1min);
  home.hears("house/kitchen", "21.5");  // the same
  EXPECT_EQ(home.broker.published.size(), before);
}

TEST_F(Connection, AfterAReconnectionEverythingComesAgainForABrokerThatForgets) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.lives_for(2h);
  home.disconnects();
  home.connects();  // then everything is as of this instant
  const auto before = home.broker.retained;
  home.disconnects();
  home.broker.retained.clear();
  home.connects();
  EXPECT_EQ(home.broker.retained, before);
}

TEST_F(Connection, WithoutOneNothingIsPublishedAndEventsWait) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.disconnects();
  home.broker.refuses = true;
  const std::size_t before = home.broker.published.size();
  home.run_for(24h);
  EXPECT_EQ(home.broker.published.size(), before);
  home.broker.refuses = false;
  home.connects();
  EXPECT_THAT(home.told(), IsSupersetOf({"jar-blue batch-started", "jar-blue peak-open"}));
  EXPECT_EQ(home.state("wheymark/$state"), "ready");
}

// --- messages that must arrive ------------------------------------------------------------------

TEST_F(Connection, WhatTheBrokerHasNotAcknowledgedComesAgainTheSame) {
  home.acknowledges = false;
  home.says({{"fact", "start"}, {"jar", "blue"}, {"ref", "a"}});
  const auto messages = [&] {
    std::vector<Published> all;
    for (const Published& p : home.broker.published) {
      if (p.delivery != 0 && !p.retain) all.push_back(p);  // a retained one is a ghost's end
    }
    return all;
  };
  const auto first = messages();
  ASSERT_THAT(first, SizeIs(2));  // the answer and the event
  home.disconnects();
  home.broker.published.clear();
  home.connects();
  EXPECT_EQ(messages(), first);
  home.restarts();
  home.broker.published.clear();
  home.connects();
  EXPECT_EQ(messages(), first);
  home.acknowledges = true;
  home.acknowledge();
  home.disconnects();
  home.broker.published.clear();
  home.connects();
  EXPECT_THAT(messages(), IsEmpty());
}

TEST_F(Connection, AnswersFromBeforeItWaitForIt) {
  Home early;
  early.broker.refuses = true;  // no connection yet
  early.hears("wheymark/say", R"({"fact":"start","jar":"blue","ref":"a"})");
  early.hears("wheymark/say", R"({"fact":"start","jar":"green","ref":"b"})");
  early.hears("wheymark/say", R"({"fact":)");
  EXPECT_THAT(early.answers(), IsEmpty());
  early.broker.refuses = false;
  early.connects();
  std::vector<json> refs;
  for (const json& answer : early.answers()) refs.push_back(answer["ref"]);
  EXPECT_THAT(refs, ::testing::UnorderedElementsAre("a", "b", nullptr));
  EXPECT_THAT(early.told(), Contains("jar-blue batch-started"));
}

TEST_F(Connection, WhatItHadNoRoomForIsTriedAgain) {
  home.broker.refuses = true;
  home.hears("wheymark/say", R"({"fact":"start","jar":"blue","ref":"a"})");
  home.hears("wheymark/say", R"({"fact":"start","jar":"green","ref":"b"})");
  EXPECT_THAT(home.answers(), IsEmpty());
  home.broker.refuses = false;
  home.run_for(1min);
  EXPECT_THAT(home.answers(), SizeIs(2));
  EXPECT_THAT(home.told(), ElementsAre("jar-blue batch-started"));
  EXPECT_EQ(home.state("jar-blue/batch/stage"), "working");
}

TEST_F(Connection, ADescriptionOrAReadyThatItHadNoRoomForIsNotMissingForEver) {
  Home home2;
  home2.broker.refuses = true;
  home2.connects();
  home2.broker.refuses = false;
  home2.run_for(1min);
  for (const char* device : {"wheymark", "jar-blue", "culture-tilly", "place-kitchen"}) {
    EXPECT_EQ(home2.state(std::string(device) + "/$state"), "ready") << device;
    EXPECT_NE(home2.state(std::string(device) + "/$description"), "") << device;
  }
}

TEST_F(Connection, AtMostAHundredMessagesAreUnacknowledged) {
  home.acknowledges = false;
  for (int i = 0; i < 200; ++i) {
    home.hears("wheymark/say",
               json{{"fact", "weigh"}, {"culture", "tilly"}, {"grain_g", 20}}.dump());
  }
  EXPECT_EQ(home.broker.owed.size(), 100u);
  home.acknowledges = true;
  home.acknowledge();
  EXPECT_EQ(home.answers().size(), 200u);
}

// --- ghosts -------------------------------------------------------------------------------------

TEST_F(Connection, AGhostThatTheBrokerHadNoRoomForIsClearedLater) {
  json without = small_configuration();
  without["jars"].erase(1);
  home.restarts_with(without);
  home.broker.refuses = true;
  home.connects();
  home.disconnects();
  home.restarts_with(without);
  home.broker.refuses = false;
  home.connects();
  for (const auto& [topic, payload] : home.broker.retained) {
    EXPECT_THAT(topic, Not(HasSubstr("jar-red"))) << payload;
  }
}

// --- stop and start -----------------------------------------------------------------------------

TEST_F(Connection, StoppingSaysGoodbyeForEveryDevice) {
  home.stops();
  for (const std::string& device : devices_of(home)) {
    EXPECT_EQ(home.state(device + "/$state"), "disconnected");
  }
  EXPECT_FALSE(home.instance().next_tick());
}

TEST_F(Connection, AfterARestartEverythingIsPublishedAsBefore) {
  home.says({{"fact", "start"}, {"jar", "blue"}});
  home.lives_for(5h);
  home.says({{"fact", "sign"}, {"jar", "blue"}, {"sign", "still-milk"}});
  home.says({{"fact", "start"}, {"jar", "red"}, {"at", "2027-03-01T09:13:00Z"}, {"ref", "r"}});
  home.lives_for(14h);
  home.says({{"fact", "strain"}, {"jar", "red"}, {"into", "bottle"}});
  home.says({{"fact", "store"}, {"jar", "bottle"}});
  home.lives_for(2h);
  home.stops();
  auto before = home.broker.retained;
  const auto told = home.told();
  home.restarts();
  home.broker.retained.clear();
  home.connects();
  auto after = home.broker.retained;
  for (auto* states : {&before, &after}) {
    // The last answer is of this life only.
    std::erase_if(*states, [](const auto& entry) {
      return entry.first.ends_with("/$state") || entry.first.ends_with("/care/answer");
    });
  }
  EXPECT_EQ(after, before);
  home.run_for(1min);
  EXPECT_EQ(home.told(), told) << "nothing is told again";
}

}  // namespace
}  // namespace wheymark::test
