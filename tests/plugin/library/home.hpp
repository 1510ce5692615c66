// The words of the library's tests: a home with a broker that records, a disk that may be full,
// thermometers and people who send messages, time that passes, and restarts.
#pragma once

#include <chrono>
#include <functional>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "plugin/configuration/configuration.hpp"
#include "plugin/library/instance.hpp"
#include "plugin/store/store.hpp"
#include "plugin/wire/instant_text.hpp"
#include "tests/core/given.hpp"
#include "tests/vocabulary/recording_host.hpp"

namespace wheymark::test {

using namespace std::chrono_literals;
using nlohmann::json;

// With some keys set to other values.
inline json small_configuration(const json& changes = json::object()) {
  json configuration = json::parse(R"({
    "home": {"name": "Test home", "time_zone": "Europe/Lisbon"},
    "broker": {"url": "mqtt://127.0.0.1:1883"},
    "store": ":memory:",
    "places": [
      {"id": "kitchen", "kind": "room", "thermometer": {"topic": "house/kitchen"}},
      {"id": "larder", "kind": "room", "thermometer": {"topic": "house/larder",
        "pointer": "/air", "unit": "F", "instant_pointer": "/at"}},
      {"id": "fridge", "kind": "fridge", "thermometer": {"topic": "house/fridge"}}],
    "cultures": [{"id": "tilly", "grain_g": 20}],
    "jars": [
      {"id": "blue", "name": "Blue jar", "capacity_ml": 1250, "place": "kitchen",
       "culture": "tilly", "milk": "cow-whole", "milk_ml": 950, "grain_g": 20},
      {"id": "red", "name": "Red jar", "capacity_ml": 1250, "place": "larder",
       "culture": "tilly", "milk": "cow-whole", "milk_ml": 950, "grain_g": 20},
      {"id": "bottle", "capacity_ml": 1000, "place": "fridge"}]})");
  configuration.merge_patch(changes);
  return configuration;
}

// --- the disk -----------------------------------------------------------------------------------

// A store that outlives the instance, as a file does, and whose disk may be full.
class Disk {
 public:
  bool is_full = false;
  int commits_until_full = 1 << 30;

  [[nodiscard]] std::unique_ptr<Store> opened() { return std::make_unique<Lent>(*this); }
  [[nodiscard]] Store& store() { return *store_; }
  // An empty store takes its place.
  void is_replaced() { store_ = open_store(":memory:").value(); }

 private:
  class Lent : public Store {
   public:
    explicit Lent(Disk& disk) : disk_(disk) {}
    Outcome read_journal(const std::function<Outcome(const JournalRow&)>& row) override {
      return disk_.store_->read_journal(row);
    }
    Outcome commit(std::vector<JournalRow> rows, std::vector<OutboxMessage>& messages,
                   Durable durable) override {
      if (durable == Durable::at_once && --disk_.commits_until_full < 0) disk_.is_full = true;
      if (disk_.is_full && durable == Durable::at_once) return full();
      return disk_.store_->commit(std::move(rows), messages, durable);
    }
    Outcome thin(Instant before, const std::function<bool(const JournalRow&)>& keeps) override {
      return disk_.is_full ? full() : disk_.store_->thin(before, keeps);
    }
    Outcome flush() override { return disk_.is_full ? full() : disk_.store_->flush(); }
    Result<std::vector<OutboxMessage>> outbox() override { return disk_.store_->outbox(); }
    Outcome delivered(std::uint64_t delivery) override { return disk_.store_->delivered(delivery); }
    Result<std::vector<std::string>> retained_topics() override {
      return disk_.store_->retained_topics();
    }
    Outcome remember_retained(const std::vector<std::string>& added,
                              const std::vector<std::string>& cleared) override {
      return disk_.is_full ? full() : disk_.store_->remember_retained(added, cleared);
    }

   private:
    static Outcome full() { return Refusal{"the disk is full"}; }
    Disk& disk_;
  };

  std::unique_ptr<Store> store_ = open_store(":memory:").value();
};

// --- the home -----------------------------------------------------------------------------------

class Home {
 public:
  explicit Home(json configuration = small_configuration(), Instant begins = morning)
      : configuration_(std::move(configuration)), now_(begins) {
    open();
  }

  RecordingHost broker;
  Disk disk;
  bool acknowledges = true;  // the broker acknowledges whatever it is given, at once

  [[nodiscard]] Instant now() const { return now_; }
  [[nodiscard]] Instance& instance() { return *instance_; }

  void connects() {
    instance_->connected(now_);
    acknowledge();
    instance_->subscribed(now_);
    acknowledge();
  }
  void disconnects() {
    instance_->disconnected(now_);
    broker.owed.clear();
  }
  // The process ends without a goodbye and starts again, perhaps with another configuration.
  void restarts() {
    instance_.reset();
    broker.owed.clear();
    open();
  }
  void restarts_with(json configuration) {
    configuration_ = std::move(configuration);
    restarts();
  }
  void stops() {
    instance_->stop(now_);
    acknowledge();
  }
  void clock_says(Instant now) { now_ = now; }

  // Time passes, and the host calls when it was asked to.
  void run_for(Milliseconds time) { run_until(now_ + time); }
  void run_until(Instant until) {
    int at_this_instant = 0;
    while (instance_->next_tick() && *instance_->next_tick() <= until) {
      at_this_instant = *instance_->next_tick() <= now_ ? at_this_instant + 1 : 0;
      if (at_this_instant > 10) throw std::runtime_error("a timer that spins");
      now_ = std::max(now_, *instance_->next_tick());
      instance_->tick(now_);
      acknowledge();
    }
    now_ = std::max(now_, until);
  }

  void hears(const std::string& topic, const std::string& payload, bool retained = false) {
    instance_->message(topic, payload, retained, now_);
    acknowledge();
  }
  // Both thermometers of the rooms and that of the fridge send usual readings, every five minutes.
  void lives_for(Milliseconds time) {
    for (const Instant until = now_ + time; now_ < until;) {
      run_for(std::min<Milliseconds>(5min, until - now_));
      read_all();
    }
  }
  void read_all() {
    hears("house/kitchen", "21.5");
    hears("house/larder", json{{"air", 68.0}, {"at", rfc3339(now_)}}.dump());
    hears("house/fridge", "4.2");
  }
  // The kitchen alone is read, every ten minutes.
  void lives_for(Milliseconds time, double kitchen_c) {
    for (const Instant until = now_ + time; now_ < until;) {
      run_for(std::min<Milliseconds>(10min, until - now_));
      hears("house/kitchen", std::to_string(kitchen_c));
    }
  }

  // Somebody reports something; the answer, which must be the only one.
  json says(const json& fact) {
    return the_answer_to([&] { hears("wheymark/say", fact.dump()); });
  }
  json says_text(const std::string& text) {
    return the_answer_to([&] { hears("wheymark/say", text); });
  }
  json sets(const std::string& below, const std::string& payload) {
    return the_answer_to([&] { hears("homie/5/" + below + "/set", payload); });
  }
  // A button of the blue jar.
  json presses(const std::string& step) { return sets("jar-blue/care/step", step); }
  json the_answer_to(const std::function<void()>& what) {
    const std::size_t before = answers().size();
    what();
    const std::vector<json> now = answers();
    EXPECT_EQ(now.size(), before + 1) << "every say has one answer";
    return now.size() > before ? now.back() : json();
  }

  // --- what was published ---

  [[nodiscard]] std::vector<json> answers() const {
    std::vector<json> all;
    for (const Published& p : broker.published) {
      if (p.topic == "wheymark/answer") all.push_back(json::parse(p.payload));
    }
    return all;
  }
  [[nodiscard]] std::vector<json> events() const {
    std::vector<json> all;
    for (const Published& p : broker.published) {
      if (p.topic.starts_with("wheymark/events/")) all.push_back(json::parse(p.payload));
    }
    return all;
  }
  // "jar-blue peak-open", in the order of publication.
  [[nodiscard]] std::vector<std::string> told() const {
    std::vector<std::string> all;
    for (const json& event : events()) {
      all.push_back(event["subject"].get<std::string>() + " " +
                    event["type"].get<std::string>().substr(std::string("wheymark.").size()));
    }
    return all;
  }
  // The retained value at "jar-blue/batch/stage"; empty: not known.
  [[nodiscard]] std::string state(const std::string& below) const {
    const auto found = broker.retained.find("homie/5/" + below);
    return found == broker.retained.end() ? "" : found->second;
  }

  void takes_over_what_it_was_given() {
    while (!broker.owed.empty()) {
      for (const std::uint64_t delivery : std::exchange(broker.owed, {})) {
        instance_->delivered(delivery, now_);
      }
    }
  }
  void acknowledge() {
    if (acknowledges) takes_over_what_it_was_given();
  }

 private:
  void open() {
    auto read = configuration_from(configuration_.dump());
    if (const auto* complaints = std::get_if<Complaints>(&read)) {
      throw std::runtime_error(line_of(complaints->front()));
    }
    auto opened = Instance::opened(Host(broker.table), std::get<Configuration>(std::move(read)),
                                   disk.opened());
    if (!opened) throw std::runtime_error(opened.why());
    instance_ = std::move(opened).value();
  }

  json configuration_;
  Instant now_;
  std::unique_ptr<Instance> instance_;
};

// Connected, in the morning, and nothing read yet.
class Connected : public ::testing::Test {
 protected:
  Connected() { home.connects(); }
  Home home;
};

// With thermometers that have just been read.
class AtHome : public Connected {
 protected:
  AtHome() { home.read_all(); }
};

}  // namespace wheymark::test
