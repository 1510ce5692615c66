// The main job from outside: thermometers and buttons go in through a real broker, and an
// independent subscriber (mosquitto_sub) receives what the household is told. The real daemon with
// the real library; only the clock is moved by hand.
#include <cmath>
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <map>
#include <nlohmann/json.hpp>

#include "tests/daemon/private_broker.hpp"
#include "tests/daemon/process.hpp"
#include "tests/vocabulary/rfc3339.hpp"

namespace wheymark::test {
namespace {

using nlohmann::json;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

class AHouseholdOnABroker : public ::testing::Test {
 protected:
  void SetUp() override {
    broker.start();
    configuration = folder.file("household.json", fmt::format(R"({{
      "home": {{ "name": "Test house" }},
      "broker": {{ "url": "{}", "client_id": "wheymark-e2e" }},
      "store": "kept.db",
      "places": [
        {{ "id": "kitchen", "name": "Kitchen", "kind": "room",
          "thermometer": {{ "topic": "house/kitchen", "pointer": "/t", "instant_pointer": "/at" }} }},
        {{ "id": "fridge", "name": "Fridge", "kind": "fridge" }} ],
      "cultures": [ {{ "id": "tilly", "name": "Tilly", "grain_g": 20 }} ],
      "jars": [
        {{ "id": "blue", "name": "Blue jar", "capacity_ml": 1250, "place": "kitchen",
          "culture": "tilly", "milk": "cow-whole", "milk_ml": 950, "grain_g": 20 }},
        {{ "id": "bottle", "name": "Bottle", "capacity_ml": 1000, "place": "fridge" }} ]
    }})",
                                                              broker.url()));
    events = listen("wheymark/events/#");
    answers = listen("wheymark/answer");
    clock = listen("demo/clock/done");
    start_daemon();
  }

  [[nodiscard]] std::unique_ptr<Listener> listen(const std::string& filter) const {
    return std::make_unique<Listener>(broker, filter);
  }

  void start_daemon() {
    daemon = std::make_unique<Process>(std::vector<std::string>{
        WHEYMARKD, "run", "--config", configuration, "--clock", "demo/clock"});
    hour += 0.01;  // an instant that no clock message has had
    // A clock message that comes before the daemon has subscribed is lost.
    ASSERT_TRUE(comes_true([&] {
      now_is(hour);
      return clock->hears(fmt::format("demo/clock/done 1 0 {}", instant(hour)), 500ms);
    })) << daemon->err();
  }

  static std::string instant(double hours) {
    constexpr std::chrono::sys_days midnight{std::chrono::year{2027} / 3 / 1};
    return rfc3339(midnight + std::chrono::seconds{std::lround(hours * 3600.0)});
  }

  void now_is(double hours) const { say(broker, "demo/clock", instant(hours)); }

  // Lets the room be `celsius` until `hours`, read every half an hour.
  void run_until(double hours, double celsius) {
    while (hour < hours) {
      hour += 0.5;
      now_is(hour);
      say(broker, "house/kitchen", fmt::format(R"({{"t":{},"at":"{}"}})", celsius, instant(hour)));
      ASSERT_TRUE(clock->hears(fmt::format("demo/clock/done 1 0 {}", instant(hour))))
          << daemon->err();
    }
  }

  // Reports it and waits for the one answer.
  void says(const std::string& fact) {
    const std::size_t before = answers->lines().size();
    say(broker, "wheymark/say", fact);
    ASSERT_TRUE(comes_true([&] { return answers->lines().size() > before; })) << daemon->err();
  }

  static json payload_of(const std::string& line) {
    return json::parse(line.substr(line.find('{')));
  }

  // The kinds of events received, in order; an event that came again (same id) counts once.
  [[nodiscard]] std::vector<std::string> told() const {
    std::vector<std::string> kinds;
    std::map<std::string, std::string> by_id;
    for (const std::string& line : events->lines()) {
      const json event = payload_of(line);
      const auto [known, fresh] = by_id.emplace(event["id"].get<std::string>(), event.dump());
      if (fresh) {
        kinds.push_back(event["type"].get<std::string>());
      } else {
        EXPECT_EQ(known->second, event.dump()) << "the same id for another event";
      }
    }
    return kinds;
  }

  PrivateBroker broker;
  TemporaryFolder folder;
  std::string configuration;
  double hour = 8.0;
  std::unique_ptr<Process> daemon;
  std::unique_ptr<Listener> events;
  std::unique_ptr<Listener> answers;
  std::unique_ptr<Listener> clock;
};

TEST_F(AHouseholdOnABroker, HearsOfEveryStepOfABatchOnceAndInOrder) {
  run_until(9, 22.0);
  says(R"({"fact":"start","jar":"blue","ref":"first"})");
  run_until(32, 22.0);
  EXPECT_THAT(told(),
              ElementsAre("wheymark.batch-started", "wheymark.peak-near", "wheymark.peak-open"));
  says(R"({"fact":"strain","jar":"blue","into":"bottle","verdict":"right"})");
  says(R"({"fact":"store","jar":"bottle"})");
  run_until(34, 22.0);
  EXPECT_THAT(told(), ElementsAre("wheymark.batch-started", "wheymark.peak-near",
                                  "wheymark.peak-open", "wheymark.strained", "wheymark.stored"));

  // Common practice: 12 to 30 h at 20 to 25 degC from fridge-cold milk.
  for (const std::string& line : events->lines()) {
    const json event = payload_of(line);
    EXPECT_EQ(event["specversion"], "1.0");
    EXPECT_EQ(event["source"], "/wheymark");
    EXPECT_FALSE(event["data"]["text"].get<std::string>().empty());
    if (event["type"] == "wheymark.peak-open") {
      EXPECT_GE(event["data"]["hours"], 12.0);
      EXPECT_LE(event["data"]["hours"], 30.0);
      EXPECT_THAT(line, HasSubstr("wheymark/events/jar-blue/peak-open 1 0 "));
    }
  }
  EXPECT_EQ(answers->lines().size(), 3U);
  EXPECT_EQ(payload_of(answers->lines().front())["ref"], "first");
}

TEST_F(AHouseholdOnABroker, LosesNothingWhenTheDaemonIsKilled) {
  run_until(9, 22.0);
  says(R"({"fact":"start","jar":"blue"})");
  run_until(20, 22.0);
  daemon->kill_and_wait();
  const auto state = listen("homie/5/wheymark/$state");
  EXPECT_TRUE(comes_true([&] {
    return state->count("homie/5/wheymark/$state 2 0 lost") +
               state->count("homie/5/wheymark/$state 2 1 lost") >
           0;
  }));

  start_daemon();
  EXPECT_TRUE(state->hears("homie/5/wheymark/$state 2 0 ready")) << state->all() << daemon->err();
  run_until(50, 22.0);
  EXPECT_THAT(told(),
              ElementsAre("wheymark.batch-started", "wheymark.peak-near", "wheymark.peak-open",
                          "wheymark.peak-closing", "wheymark.over-fermented"));
}

// The broker keeps it (MQTT 5, section 4.1), and does not tell when it was said.
TEST_F(AHouseholdOnABroker, AnswersWhatWasSaidWhileTheDaemonWasAway) {
  run_until(9, 22.0);
  says(R"({"fact":"start","jar":"blue"})");
  run_until(20, 22.0);
  daemon->kill_and_wait();
  say(broker, "wheymark/say", R"({"fact":"sign","jar":"blue","sign":"thickened","ref":"away"})");
  say(broker, "wheymark/say",
      fmt::format(R"({{"fact":"sign","jar":"blue","sign":"set","ref":"dated","at":"{}"}})",
                  instant(21)));
  hour += 4;
  start_daemon();
  const auto answer_to = [&](const std::string& ref) {
    for (const std::string& line : answers->lines()) {
      const json answer = payload_of(line);
      if (answer["ref"] == ref) return answer;
    }
    return json();
  };
  ASSERT_TRUE(comes_true([&] { return !answer_to("dated").is_null(); })) << daemon->err();
  EXPECT_TRUE(answer_to("away")["accepted"]);
  EXPECT_THAT(answer_to("away")["why"].get<std::string>(), HasSubstr("waited at the broker"));
  EXPECT_TRUE(answer_to("dated")["accepted"]);
  EXPECT_THAT(answer_to("dated")["why"].get<std::string>(),
              testing::Not(HasSubstr("waited at the broker")));
}

TEST_F(AHouseholdOnABroker, GoesOnWhenTheBrokerIsKilledAndForgetsEverything) {
  run_until(9, 22.0);
  says(R"({"fact":"start","jar":"blue"})");
  run_until(12, 22.0);
  broker.kill();
  broker.start();
  // The earlier listeners died with the broker; the clock is heard again once the daemon is back.
  clock = listen("demo/clock/done");
  events = listen("wheymark/events/#");
  hour += 0.1;
  ASSERT_TRUE(comes_true([&] {
    now_is(hour);
    return clock->hears(fmt::format("demo/clock/done 1 0 {}", instant(hour)), 500ms);
  })) << daemon->err();
  const auto stage = listen("homie/5/jar-blue/batch/stage");
  EXPECT_TRUE(stage->hears("homie/5/jar-blue/batch/stage 2 1 working")) << stage->all();
  run_until(32, 22.0);
  EXPECT_THAT(told(), ElementsAre("wheymark.peak-near", "wheymark.peak-open"));
}

TEST_F(AHouseholdOnABroker, AnswersNonsenseAndGoesOn) {
  run_until(9, 22.0);
  says("make me some kefir");
  says(R"({"fact":"start","jar":"green"})");
  says(R"({"fact":"strain","jar":"blue"})");
  say(broker, "house/kitchen", "NaN");
  say(broker, "house/kitchen", R"({"t":"warm"})");
  say(broker, "house/kitchen", R"({"t":71.6,"at":"1970-01-01T00:00:00Z"})");
  // A megabyte: more than any report needs, so it is refused unread.
  const std::string megabyte = folder.file("megabyte", std::string(1'000'000, '{'));
  Process flood({"mosquitto_pub", "-h", "127.0.0.1", "-p", std::to_string(broker.port()), "-q", "1",
                 "-t", "wheymark/say", "-f", megabyte});
  EXPECT_EQ(flood.exit_status(), 0);
  says(R"({"fact":"start","jar":"blue"})");
  EXPECT_TRUE(comes_true([&] { return answers->lines().size() == 5; }));
  for (const std::string& line : answers->lines()) {
    const json answer = payload_of(line);
    EXPECT_NE(answer["accepted"].get<bool>(), answer["why"].get<std::string>().size() > 10) << line;
  }
  EXPECT_TRUE(comes_true([&] { return !told().empty(); }));
  EXPECT_THAT(told(), ElementsAre("wheymark.batch-started"));
}

TEST_F(AHouseholdOnABroker, JarsComeAndGoWithoutLosingTheirBatches) {
  const auto stage = listen("homie/5/jar-blue/batch/stage");
  const std::string with_blue = text_of_file(configuration);
  std::string without_blue = with_blue;
  const std::size_t begin = without_blue.find(R"({ "id": "blue")");
  without_blue.erase(begin, without_blue.find(R"({ "id": "bottle")") - begin);
  const auto read_again = [&](const std::string& now) {
    folder.file("household.json", now);
    const std::string before = daemon->err();
    daemon->signal(SIGHUP);
    ASSERT_TRUE(comes_true([&] {
      return daemon->err().find("read again and is in use", before.size()) != std::string::npos;
    })) << daemon->err();
  };
  run_until(9, 22.0);
  says(R"({"fact":"start","jar":"blue","ref":"first"})");
  run_until(12, 22.0);
  ASSERT_TRUE(stage->hears("homie/5/jar-blue/batch/stage 2 0 working")) << stage->all();

  read_again(without_blue);
  EXPECT_TRUE(stage->hears("homie/5/jar-blue/batch/stage 2 0 ")) << "nothing is left behind";
  run_until(14, 22.0);
  says(R"({"fact":"sign","jar":"blue","sign":"set"})");
  EXPECT_THAT(answers->lines().back(), HasSubstr(R"("accepted":false)"));

  read_again(with_blue);
  run_until(32, 22.0);
  EXPECT_THAT(told(),
              ElementsAre("wheymark.batch-started", "wheymark.peak-near", "wheymark.peak-open"));
}

}  // namespace
}  // namespace wheymark::test
