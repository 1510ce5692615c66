// A story that wheymarkd replays: rooms, time that passes, and what a person reports, as the lines
// of traffic that a home would make; and what was announced.
//
// The household is that of config-examples/household.json: the jars tall, crock and goat, two
// bottles; the places dresser, larder and fridge, whose thermometers send three formats.
#pragma once

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <gtest/gtest.h>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "core/basis/rfc3339.hpp"
#include "plugin/daemon/rfc3339.hpp"
#include "tests/daemon/process.hpp"
#include "tests/vocabulary/rfc3339.hpp"

namespace wheymark::test {

using nlohmann::json;
using Time = std::chrono::sys_seconds;

class Story {
 public:
  // It begins on a Monday at eight; every place is usual.
  Story() {
    is("dresser", 20.5);
    is("larder", 17.0);
    is("fridge", 4.5);
  }

  // The air of a place from now on.
  Story& is(const std::string& place, double air_c) {
    air_c_[place] = [air_c](double) { return air_c; };
    return *this;
  }
  // Warmest in the afternoon, coldest before dawn.
  Story& swings(const std::string& place, double mean_c, double swing_k) {
    air_c_[place] = [=](double hour) {
      return mean_c + swing_k * std::sin(2.0 * M_PI * (hour - 9.0) / 24.0);
    };
    return *this;
  }
  Story& thermometer_dies(const std::string& place) {
    dead_.insert(place);
    return *this;
  }
  Story& thermometer_works(const std::string& place) {
    dead_.erase(place);
    return *this;
  }

  // Time passes, and all thermometers send every ten minutes.
  Story& passes(std::chrono::minutes time) {
    for (const Time until = now_ + time; now_ < until;) {
      for (const auto& [place, air_c] : air_c_) {
        if (!dead_.contains(place)) speak(place, air_c(hour_of_day()));
      }
      now_ += std::min<std::chrono::seconds>(std::chrono::minutes{10}, until - now_);
    }
    return *this;
  }

  Story& says(const json& fact) {
    line("wheymark/say", fact.dump());
    return *this;
  }
  Story& says(json fact, std::chrono::minutes ago) {
    fact["at"] = rfc3339(now_ - ago);
    return says(fact);
  }

  [[nodiscard]] Time now() const { return now_; }
  // The lines of traffic, to the end of the time that has passed.
  [[nodiscard]] std::vector<std::string> lines() const {
    std::vector<std::string> all = lines_;
    all.push_back(json{{"at", rfc3339(now_)}}.dump());
    return all;
  }

 private:
  [[nodiscard]] double hour_of_day() const {
    return std::chrono::duration<double, std::ratio<3600>>(
               now_ - std::chrono::floor<std::chrono::days>(now_))
        .count();
  }
  void speak(const std::string& place, double air_c) {
    if (place == "dresser") line("house/kitchen/temperature", fmt::format("{:.1f}", air_c));
    if (place == "larder") {
      const json reading{{"air", {{"temperature", std::round(10.0 * (air_c * 1.8 + 32.0)) / 10.0}}},
                         {"measured", rfc3339(now_)}};
      line("house/larder/climate", reading.dump());
    }
    if (place == "fridge") line("house/fridge/state", json{{"temperature", air_c + 0.5}}.dump());
  }
  void line(const std::string& topic, const std::string& payload) {
    lines_.push_back(
        json{{"at", rfc3339(now_)}, {"topic", topic}, {"payload", payload}, {"retain", false}}
            .dump());
  }

  Time now_ = std::chrono::sys_days{std::chrono::year{2027} / 3 / 1} + std::chrono::hours{8};
  std::map<std::string, std::function<double(double)>> air_c_;
  std::set<std::string> dead_;
  std::vector<std::string> lines_;
};

// What wheymarkd published when it replayed a story.
class Replayed {
 public:
  explicit Replayed(const Story& story) : Replayed(story.lines(), {}) {}
  // Some lines, with `store` kept between one replay and the next.
  Replayed(const std::vector<std::string>& lines, const std::string& store) {
    std::string traffic;
    for (const std::string& line : lines) traffic += line + "\n";
    std::vector<std::string> command{
        WHEYMARKD,  "replay",
        "--config", std::string(WHEYMARK_SOURCE_DIR) + "/config-examples/household.json",
        "--store",  store.empty() ? ":memory:" : store};
    Process process(command, {}, traffic);
    const auto status = process.exit_status(std::chrono::seconds{60});
    if (status != 0) throw std::runtime_error("wheymarkd replay: " + process.err());
    bytes_ = process.out();
    std::istringstream in(bytes_);
    for (std::string line; std::getline(in, line);) published_.push_back(json::parse(line));
  }

  [[nodiscard]] const std::string& bytes() const { return bytes_; }

  [[nodiscard]] std::vector<json> events() const { return below("wheymark/events/"); }
  [[nodiscard]] std::vector<json> answers() const { return below("wheymark/answer"); }
  // The kinds of the events about "jar-tall", in order.
  [[nodiscard]] std::vector<std::string> told_of(const std::string& subject) const {
    std::vector<std::string> kinds;
    for (const json& event : events()) {
      if (event["subject"] == subject) kinds.push_back(kind_of(event));
    }
    return kinds;
  }
  // The first event of this kind about this subject.
  [[nodiscard]] json the(const std::string& subject, const std::string& kind) const {
    for (json& event : events()) {
      if (event["subject"] == subject && kind_of(event) == kind) return event;
    }
    throw std::runtime_error("never told: " + kind + " of " + subject);
  }
  // Hours from one event of a subject to another.
  [[nodiscard]] double hours(const std::string& subject, const std::string& from,
                             const std::string& to) const {
    return hours_since_1970(the(subject, to)) - hours_since_1970(the(subject, from));
  }
  // The last retained payload of a topic below homie/5/.
  [[nodiscard]] std::string state(const std::string& topic) const {
    std::string last;
    for (const json& message : published_) {
      if (message["topic"] == "homie/5/" + topic) last = message["payload"];
    }
    return last;
  }
  // All ids, in order.
  [[nodiscard]] std::vector<std::string> ids() const {
    std::vector<std::string> all;
    for (const json& event : events()) all.push_back(event["id"]);
    return all;
  }

 private:
  static std::string kind_of(const json& event) {
    return event["type"].get<std::string>().substr(std::string("wheymark.").size());
  }
  static double hours_since_1970(const json& event) {
    return static_cast<double>(instant_ms_from_rfc3339(event["time"].get<std::string>()).value()) /
           3.6e6;
  }
  [[nodiscard]] std::vector<json> below(const std::string& topic) const {
    std::vector<json> all;
    for (const json& message : published_) {
      if (message["topic"].get<std::string>().starts_with(topic)) {
        all.push_back(json::parse(message["payload"].get<std::string>()));
      }
    }
    return all;
  }

  std::string bytes_;
  std::vector<json> published_;
};

}  // namespace wheymark::test
