// Two households on one broker, as a block of flats or a school would have them: same names of jars
// and places, different names in `wire`. The broker's own log shows who sent what.
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <memory>
#include <set>
#include <sstream>

#include "tests/daemon/private_broker.hpp"
#include "tests/daemon/process.hpp"

namespace wheymark::test {
namespace {

class TwoHouseholds : public ::testing::Test {
 protected:
  void SetUp() override {
    broker.start();
    north = started("north");
    south = started("south");
  }

  std::unique_ptr<Process> started(const std::string& name) {
    const std::string file = folder.file(name + ".json", fmt::format(R"({{
      "home": {{ "name": "{0}" }},
      "broker": {{ "url": "{1}", "client_id": "daemon-{0}" }}, "store": "{0}.db",
      "wire": {{ "homie_domain": "homie-{0}", "prefix": "{0}", "root_device": "{0}" }},
      "places": [ {{ "id": "kitchen", "name": "Kitchen", "kind": "room",
                    "thermometer": {{ "topic": "house-{0}/kitchen" }} }} ],
      "cultures": [ {{ "id": "tilly", "name": "Tilly", "grain_g": 20 }} ],
      "jars": [ {{ "id": "blue", "name": "Blue jar", "capacity_ml": 1250, "place": "kitchen",
                  "culture": "tilly", "milk": "cow-whole", "milk_ml": 950, "grain_g": 20 }} ]
    }})",
                                                                     name, broker.url()));
    auto daemon =
        std::make_unique<Process>(std::vector<std::string>{WHEYMARKD, "run", "--config", file});
    const Listener state(broker, fmt::format("homie-{0}/5/{0}/$state", name));
    EXPECT_TRUE(comes_true([&] { return state.all().find(" ready\n") != std::string::npos; }))
        << daemon->err();
    return daemon;
  }

  // First levels of all topics that the broker has got from it, sent to it, or been asked for by
  // it.
  [[nodiscard]] std::set<std::string> touched_by(const std::string& client) const {
    std::set<std::string> levels;
    std::istringstream log(broker.log());
    bool subscribes = false;
    for (std::string line; std::getline(log, line);) {
      std::string topic;
      if (line.find("Received PUBLISH from " + client) != std::string::npos ||
          line.find("Sending PUBLISH to " + client) != std::string::npos) {
        const std::size_t begin = line.find('\'') + 1;
        topic = line.substr(begin, line.find('\'', begin) - begin);
      }
      // A subscription's filters follow it, a line each, indented.
      if (line.find("\t") != std::string::npos && subscribes) {
        topic = line.substr(line.find('\t') + 1);
      } else {
        subscribes = line.find("Received SUBSCRIBE from " + client) != std::string::npos;
      }
      if (!topic.empty()) levels.insert(topic.substr(0, topic.find_first_of("/ ")));
    }
    return levels;
  }

  PrivateBroker broker;
  TemporaryFolder folder;
  std::unique_ptr<Process> north;
  std::unique_ptr<Process> south;
};

TEST_F(TwoHouseholds, NeitherSeeNorTouchEachOthersTopics) {
  const Listener events(broker, "+/events/#");
  const Listener answers(broker, "+/answer");
  const Listener stages(broker, "+/5/jar-blue/batch/stage");
  say(broker, "house-north/kitchen", "21.5");
  say(broker, "house-south/kitchen", "18.0");
  say(broker, "north/say", R"({"fact":"start","jar":"blue"})");
  ASSERT_TRUE(stages.hears("homie-north/5/jar-blue/batch/stage 2 0 working")) << stages.all();
  say(broker, "south/say", R"({"fact":"sign","jar":"blue","sign":"set"})");
  ASSERT_TRUE(comes_true([&] { return answers.lines().size() == 2; })) << answers.all();

  EXPECT_THAT(answers.lines().front(), ::testing::HasSubstr(R"("accepted":true)"));
  EXPECT_THAT(answers.lines().back(), ::testing::HasSubstr(R"("accepted":false)"))
      << "south's jar is empty";
  EXPECT_FALSE(stages.hears("homie-south/5/jar-blue/batch/stage 2 0 working", 500ms));
  ASSERT_EQ(events.lines().size(), 1U) << events.all();
  EXPECT_THAT(events.lines().front(), ::testing::StartsWith("north/events/jar-blue/batch-started"));

  using Levels = std::set<std::string>;
  EXPECT_EQ(touched_by("daemon-north"), (Levels{"homie-north", "house-north", "north"}));
  EXPECT_EQ(touched_by("daemon-south"), (Levels{"homie-south", "house-south", "south"}));
}

}  // namespace
}  // namespace wheymark::test
