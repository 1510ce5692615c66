// The independent subscriber of the simulated world: keeps what the broker accepted, and finds what
// must not be there.
#pragma once

#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/faults/plugin.hpp"

namespace wheymark::faults {

// What a story must not lead to.
class Broken : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

class Listener {
 public:
  std::map<std::string, std::string> retained;     // as the broker keeps it
  std::map<std::string, std::string> events;       // payload by id
  std::map<std::string, nlohmann::json> answers;   // the last, by ref
  std::map<std::string, nlohmann::json> accepted;  // the first that accepted, by ref
  int doubled_events = 0;

  void hears(const Message& message) {
    if (message.retain) {
      keeps(message);
    } else if (message.topic == "wheymark/answer") {
      hears_answer(message);
    } else if (message.topic.starts_with("wheymark/events/") ||
               message.topic.starts_with("wheymark/notices/")) {
      hears_event(message);
    }
  }

 private:
  static bool is_number_topic(const std::string& topic) {
    for (const char* ending :
         {"/progress", "/hours-to-peak", "/ph", "/acidity", "/milk-temperature", "/age",
          "/temperature", "/mass", "/pace", "/pace-low", "/pace-high"}) {
      if (topic.ends_with(ending)) return true;
    }
    return false;
  }

  void keeps(const Message& message) {
    if (is_number_topic(message.topic) && !message.payload.empty()) {
      double value = NAN;
      const char* end = message.payload.data() + message.payload.size();
      const auto [stopped, error] = std::from_chars(message.payload.data(), end, value);
      if (error != std::errc() || stopped != end || !std::isfinite(value)) {
        throw Broken(fmt::format("no number: {} {}", message.topic, message.payload));
      }
    }
    if (message.topic.ends_with("/milk-temperature") && !message.payload.empty()) {
      const double milk_c = std::stod(message.payload);
      if (milk_c < -5.0 || milk_c > 50.0) throw Broken("milk at " + message.payload);
    }
    if (message.payload.empty()) {
      retained.erase(message.topic);
    } else {
      retained.insert_or_assign(message.topic, message.payload);
    }
  }

  void hears_answer(const Message& message) {
    const auto answer = nlohmann::json::parse(message.payload);
    if (!answer.at("ref").is_string()) return;
    const auto ref = answer["ref"].get<std::string>();
    answers.insert_or_assign(ref, answer);
    if (!answer.at("accepted").get<bool>()) return;
    const auto [first, is_new] = accepted.emplace(ref, answer);
    if (!is_new && first->second.at("id") != answer.at("id")) {
      throw Broken(fmt::format("{} was accepted as {} and as {}", ref, first->second["id"].dump(),
                               answer["id"].dump()));
    }
  }

  void hears_event(const Message& message) {
    const auto event = nlohmann::json::parse(message.payload);
    for (const auto& [name, value] : event.at("data").items()) {
      if (value.is_null()) throw Broken("an event without its " + name + ": " + message.payload);
    }
    const auto id = event.at("id").get<std::string>();
    const auto [first, is_new] = events.emplace(id, message.payload);
    if (!is_new && first->second != message.payload) {
      throw Broken(fmt::format("{} said twice, not the same:\n  {}\n  {}", id, first->second,
                               message.payload));
    }
    if (!is_new) ++doubled_events;
  }
};

// Whether an MQTT filter matches a topic.
inline bool takes(std::string_view filter, std::string_view topic) {
  for (;;) {
    const auto f = filter.substr(0, filter.find('/'));
    const auto t = topic.substr(0, topic.find('/'));
    if (f == "#") return true;
    if (f != "+" && f != t) return false;
    const bool f_ends = f.size() == filter.size();
    const bool t_ends = t.size() == topic.size();
    if (f_ends || t_ends) return f_ends && t_ends;
    filter.remove_prefix(f.size() + 1);
    topic.remove_prefix(t.size() + 1);
  }
}

}  // namespace wheymark::faults
