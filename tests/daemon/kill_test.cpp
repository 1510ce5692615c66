// kill -9 at random instants: the real daemon, a real broker, and an independent subscriber that
// counts. No event is missing, none comes with a new id, and no fact that was answered is lost.
//
// Twenty kills; WHEYMARK_KILLS=200 for more.
#include <cstdlib>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <map>
#include <nlohmann/json.hpp>
#include <random>
#include <set>

#include "tests/daemon/private_broker.hpp"
#include "tests/daemon/process.hpp"

namespace wheymark::test {
namespace {

using nlohmann::json;

class KilledAgainAndAgain : public ::testing::Test {
 protected:
  void SetUp() override {
    broker.start();
    json jars = json::array();
    for (int i = 0; i < 4; ++i) {
      jars.push_back({{"id", fmt::format("jar-{}", i)},
                      {"capacity_ml", 1250},
                      {"place", "kitchen"},
                      {"culture", "tilly"},
                      {"milk", "cow-whole"},
                      {"milk_ml", 950}});
    }
    const json household = {{"home", {{"name", "Test house"}}},
                            {"broker", {{"url", broker.url()}, {"client_id", "wheymark-kills"}}},
                            {"store", "kept.db"},
                            {"places", {{{"id", "kitchen"}, {"kind", "room"}}}},
                            {"cultures", {{{"id", "tilly"}}}},
                            {"jars", jars}};
    configuration = folder.file("household.json", household.dump());
    events = std::make_unique<Listener>(broker, "wheymark/events/#");
    answers = std::make_unique<Listener>(broker, "wheymark/answer");
  }

  void start_daemon() {
    daemon = std::make_unique<Process>(
        std::vector<std::string>{WHEYMARKD, "run", "--config", configuration});
    ASSERT_TRUE(daemon->says("connected to")) << daemon->err();
  }

  // What came on a topic, as JSON, without the rest of the line.
  static std::vector<json> all(const Listener& listener) {
    std::vector<json> said;
    for (const std::string& line : listener.lines()) {
      said.push_back(json::parse(line.substr(line.find('{'))));
    }
    return said;
  }

  // Begins or ends a batch in a jar; the ref tells which.
  void say_something() {
    const int jar = static_cast<int>(chance() % 4);
    const std::string ref = fmt::format("ref-{}", said.size());
    const json fact = {{"fact", busy[jar] ? "discard" : "start"},
                       {"jar", fmt::format("jar-{}", jar)},
                       {"ref", ref}};
    busy[jar] = !busy[jar];
    said.emplace(ref, fact.dump());
    say(broker, "wheymark/say", fact.dump());
  }

  [[nodiscard]] std::map<std::string, json> answered() const {
    std::map<std::string, json> by_ref;
    for (const json& answer : all(*answers)) {
      if (!answer["ref"].is_string()) continue;
      const auto [first, is_new] = by_ref.emplace(answer["ref"], answer);
      if (!is_new && answer["accepted"] == true) {
        EXPECT_EQ(first->second["id"], answer["id"]) << "one fact, one number";
      }
    }
    return by_ref;
  }

  // People report a fact again until it is answered.
  void everything_is_answered() {
    for (const auto& [ref, fact] : said) {
      for (int times = 0; times < 5 && !answered().contains(ref); ++times) {
        say(broker, "wheymark/say", fact);
        comes_true([&, r = ref] { return answered().contains(r); }, 3s);
      }
      EXPECT_TRUE(answered().contains(ref)) << fact;
    }
  }

  PrivateBroker broker;
  TemporaryFolder folder;
  std::string configuration;
  std::unique_ptr<Listener> events;
  std::unique_ptr<Listener> answers;
  std::unique_ptr<Process> daemon;
  std::map<std::string, std::string> said;
  std::map<int, bool> busy;
  std::mt19937 chance{20270301};
};

TEST_F(KilledAgainAndAgain, NoEventIsMissingOrNewAndNoAnsweredFactIsLost) {
  const char* asked = std::getenv("WHEYMARK_KILLS");
  const int kills = asked == nullptr ? 20 : std::atoi(asked);
  for (int i = 0; i < kills; ++i) {
    start_daemon();
    if (HasFatalFailure()) return;
    const auto count = chance() % 4;
    for (unsigned j = 0; j < count; ++j) say_something();
    std::this_thread::sleep_for(std::chrono::microseconds(chance() % 60'000));
    daemon->kill_and_wait();
    EXPECT_EQ(daemon->err().find("error"), std::string::npos) << daemon->err();
  }
  start_daemon();
  everything_is_answered();

  // Reported once more, every accepted fact has the number that it had.
  const auto before = answered();
  std::set<std::string> expected;
  for (const auto& [ref, answer] : before) {
    if (answer["accepted"] != true) continue;
    const auto count = all(*answers).size();
    say(broker, "wheymark/say", said.at(ref));
    ASSERT_TRUE(comes_true([&] { return all(*answers).size() > count; }));
    const json again = all(*answers).back();
    EXPECT_EQ(again["accepted"], true) << again;
    EXPECT_EQ(again["id"], answer["id"]);
    if (answer["fact"] == "start") expected.insert(answer["id"].get<std::string>().substr(5));
  }

  // Each start has one event, with one id, however often it came.
  std::map<std::string, json> by_id;
  std::set<std::string> told;
  const auto heard = all(*events);
  for (const json& event : heard) {
    if (event["type"] != "wheymark.batch-started") continue;
    const auto [first, is_new] = by_id.emplace(event["id"], event);
    EXPECT_EQ(first->second, event) << "the same to the byte";
    if (!is_new) continue;
    const auto id = event["id"].get<std::string>();
    const auto front = id.substr(0, id.rfind('.'));
    EXPECT_TRUE(told.insert(front.substr(front.rfind('.') + 1)).second) << id;
  }
  EXPECT_EQ(told, expected);
  fmt::print("{} kills, {} sayings, {} starts told, {} events heard of {} ids\n", kills,
             said.size(), told.size(), heard.size(), by_id.size());
}

}  // namespace
}  // namespace wheymark::test
