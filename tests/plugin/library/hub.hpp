// A hub as the library's tests see it: what was published, in order, and what a late subscriber
// would find retained.
#pragma once

#include <algorithm>
#include <functional>
#include <gtest/gtest.h>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "plugin/library/instance.hpp"
#include "plugin/wire/instant_text.hpp"
#include "tests/plugin/library/published.hpp"

namespace wheymark::test {

using namespace std::chrono_literals;

inline Instant instant(const std::string& rfc3339) {
  return instant_from_rfc3339(rfc3339).value();
}

class Hub {
 public:
  // The host's table for an instance; valid as long as the hub is.
  wheymark_host table() {
    wheymark_host table{};
    table.struct_size = sizeof table;
    table.context = this;
    table.publish = [](void* context, const wheymark_message* message) {
      return static_cast<Hub*>(context)->take(*message) ? 0 : 1;
    };
    table.subscribe = [](void* context, wheymark_text filter, std::uint8_t) {
      static_cast<Hub*>(context)->filters.emplace_back(view_of(filter));
      return 0;
    };
    table.log = [](void* context, wheymark_level, wheymark_text line) {
      static_cast<Hub*>(context)->lines.emplace_back(view_of(line));
    };
    return table;
  }

  std::vector<Published> published;
  std::map<std::string, std::string> retained;
  std::vector<std::string> filters;
  std::vector<std::string> lines;

  // The payloads of one topic, in order.
  [[nodiscard]] std::vector<std::string> on(const std::string& topic) const {
    std::vector<std::string> payloads;
    for (const Published& message : published) {
      if (message.topic == topic) payloads.push_back(message.payload);
    }
    return payloads;
  }
  [[nodiscard]] std::string last_on(const std::string& topic) const {
    const std::vector<std::string> payloads = on(topic);
    return payloads.empty() ? "nothing was published on " + topic : payloads.back();
  }
  // Where the first message that fits stands among all; -1: nowhere.
  [[nodiscard]] std::ptrdiff_t place_of(const std::function<bool(const Published&)>& fits) const {
    const auto found = std::find_if(published.begin(), published.end(), fits);
    return found == published.end() ? -1 : found - published.begin();
  }
  [[nodiscard]] std::ptrdiff_t place_of(const std::string& topic,
                                        const std::string& payload) const {
    return place_of([&](const Published& m) { return m.topic == topic && m.payload == payload; });
  }
  [[nodiscard]] std::vector<std::string> retained_below(const std::string& root) const {
    std::vector<std::string> topics;
    for (const auto& [topic, payload] : retained) {
      if (topic.starts_with(root)) topics.push_back(topic);
    }
    return topics;
  }
  [[nodiscard]] bool logged(const std::string& part) const {
    return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
      return line.find(part) != std::string::npos;
    });
  }

 private:
  bool take(const wheymark_message& message) {
    published.push_back({std::string(view_of(message.topic)), std::string(view_of(message.payload)),
                         std::string(view_of(message.content_type)), message.qos,
                         message.retain != 0, message.delivery});
    const Published& last = published.back();
    if (last.retain && last.payload.empty()) retained.erase(last.topic);
    if (last.retain && !last.payload.empty()) retained[last.topic] = last.payload;
    return true;
  }
};

// An instance on that hub, with a clock that the test moves.
class OnAHub : public ::testing::Test {
 protected:
  static constexpr const char* two_jars = R"({
    "home": { "name": "Harbour Street", "time_zone": "UTC" },
    "broker": { "url": "mqtt://127.0.0.1" },
    "places": [
      { "id": "kitchen", "name": "Kitchen shelf", "kind": "room",
        "thermometer": { "topic": "house/kitchen" } },
      { "id": "fridge", "name": "Fridge", "kind": "fridge" } ],
    "cultures": [ { "id": "old", "name": "Old Faithful", "grain_g": 20 } ],
    "jars": [
      { "id": "blue", "name": "Blue jar", "capacity_ml": 1250, "place": "kitchen",
        "culture": "old", "milk": "cow-whole", "milk_ml": 950 },
      { "id": "swing", "name": "Swing-top", "capacity_ml": 1000, "place": "fridge" } ] })";

  // The configuration with some keys set to other values.
  static std::string configuration(const nlohmann::json& changes = nlohmann::json::object()) {
    nlohmann::json document = nlohmann::json::parse(two_jars);
    document.merge_patch(changes);
    return document.dump();
  }

  void open(const std::string& text = configuration()) {
    instance.reset();
    auto read = configuration_from(text);
    if (const auto* complaints = std::get_if<Complaints>(&read)) {
      FAIL() << line_of(complaints->front());
    }
    auto opened = Instance::opened(Host(hub.table()), std::get<Configuration>(std::move(read)),
                                   open_store(store_file).value());
    ASSERT_TRUE(opened.ok()) << opened.why();
    instance = std::move(opened).value();
  }

  void connect() {
    instance->connected(now);
    acknowledge();
    instance->subscribed(now);
    acknowledge();
  }
  void start_anew(const std::string& text = configuration()) {
    open(text);
    connect();
  }

  void say(const std::string& topic, const std::string& payload, bool retained = false) {
    instance->message(topic, payload, retained, now);
    acknowledge();
  }
  void press(const std::string& step) { say("homie/5/jar-blue/care/step/set", step); }

  // Lets time pass, with a reading every ten minutes if the room is known.
  void pass(std::chrono::minutes span, std::optional<double> room_c = std::nullopt) {
    const Instant until = now + span;
    while (now < until) {
      const auto wanted = instance->next_tick();
      now = std::min(until, now + 10min);
      if (room_c) say("house/kitchen", std::to_string(*room_c));
      if (wanted && *wanted <= now) instance->tick(now);
      acknowledge();
    }
  }

  void acknowledge() {
    for (std::size_t i = acknowledged_; i < hub.published.size(); ++i) {
      const std::uint64_t delivery = hub.published[i].delivery;
      if (delivery != 0) instance->delivered(delivery, now);
    }
    acknowledged_ = hub.published.size();
  }

  // The last answer on the answer topic.
  [[nodiscard]] nlohmann::json answer() const {
    return nlohmann::json::parse(hub.last_on("wheymark/answer"), nullptr, false);
  }
  [[nodiscard]] std::string of_blue(const std::string& property) const {
    const auto found = hub.retained.find("homie/5/jar-blue/" + property);
    return found == hub.retained.end() ? "" : found->second;
  }

  Hub hub;
  std::string store_file = ":memory:";
  Instant now = instant("2027-03-01T08:00:00Z");
  std::unique_ptr<Instance> instance;

 private:
  std::size_t acknowledged_ = 0;
};

}  // namespace wheymark::test
