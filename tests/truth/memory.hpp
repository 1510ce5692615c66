// What was said and accepted, folded again by a few lines that know nothing of the code under test:
// what each jar holds, since when, under which lid, and where. Where kefir was distributed by
// amounts it does not follow: such a jar is not sure until it is started or emptied again.
#pragma once

#include <algorithm>
#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "tests/truth/kitchen.hpp"
#include "tests/vocabulary/rfc3339.hpp"

namespace wheymark::truth {

using Ms = std::int64_t;  // since 1970
inline constexpr Ms minute = 60'000;
inline constexpr Ms hour = 60 * minute;
inline constexpr Ms day = 24 * hour;

// What stands in a jar or a bottle.
struct Content {
  std::string ref;  // of the start
  std::string jar;  // where it was started
  std::string culture;
  Ms started = 0;
  bool raw = false;
  std::optional<Ms> strained;
  std::vector<Ms> stored;
  bool in_fridge = false;
  bool in_second = false;
  std::string began_in;
  std::string place;
  Ms here_since = 0;
  bool tight = false;
  Ms lid_since = 0;
  double milk_ml = 0.0;
  std::string last_sign;  // seen with the grains in it
  Ms sign_at = 0;
  std::optional<double> ph;
  Ms ph_at = 0;

  [[nodiscard]] bool ferments() const { return !strained; }
};

// A fact that was accepted.
struct Accepted {
  nlohmann::json fact;
  Ms at;
  std::uint64_t turn;
};

class Memory {
 public:
  explicit Memory(const Kitchen& kitchen) {
    const auto configuration = nlohmann::json::parse(kitchen.configuration);
    for (const nlohmann::json& setup : configuration.at("jars")) setups_[setup.at("id")] = setup;
  }

  void accepts(const nlohmann::json& fact, Ms at) {
    if (fact.at("fact") == "retract") {
      std::erase_if(facts_, [&](const Accepted& said) {
        return said.fact.value("ref", "") == fact.at("ref").get<std::string>();
      });
    } else {
      facts_.push_back({fact, at, turn_++});
      std::stable_sort(facts_.begin(), facts_.end(),
                       [](const Accepted& a, const Accepted& b) { return a.at < b.at; });
    }
    holds_.clear();
    unsure_.clear();
    went_to_.clear();
    for (const Accepted& said : facts_) apply(said);
  }

  [[nodiscard]] const Content* in(const std::string& jar) const {
    const auto found = holds_.find(jar);
    return found == holds_.end() ? nullptr : &found->second;
  }
  [[nodiscard]] bool is_sure(const std::string& jar) const { return !unsure_.contains(jar); }
  // Those that are sure.
  [[nodiscard]] const std::map<std::string, Content>& all() const { return holds_; }
  [[nodiscard]] const std::vector<Accepted>& facts() const { return facts_; }
  [[nodiscard]] bool still_says(const std::string& ref) const {
    return std::any_of(facts_.begin(), facts_.end(),
                       [&](const Accepted& said) { return said.fact.value("ref", "") == ref; });
  }

 private:
  void apply(const Accepted& said) {
    const nlohmann::json& fact = said.fact;
    const std::string kind = fact.at("fact");
    const std::string jar = fact.value("jar", "");
    if (kind == "start") return starts(said, jar);
    const auto found = holds_.find(jar);
    if (kind == "finish" || kind == "discard") {
      // Only kefir that came out of it before can be finished while its grains are in it.
      if (kind == "finish" && found != holds_.end() && found->second.ferments()) return;
      holds_.erase(jar);
      unsure_.erase(jar);
      return;
    }
    if (found == holds_.end()) {
      // Said of a jar that is empty by then: it may mean where its kefir went, or fill a bottle.
      if (went_to_.contains(jar)) is_not_sure(went_to_.at(jar));
      if (kind == "store" || kind == "pour") unsure_.insert(jar);
      if (kind == "store") nothing_is_sure_on_the_table();
      return;
    }
    Content& content = found->second;
    if (kind == "sign") {
      content.last_sign = fact.at("sign");
      content.sign_at = said.at;
    } else if (kind == "ph") {
      content.ph = fact.at("ph").get<double>();
      content.ph_at = said.at;
    } else if (kind == "move") {
      stands(content, fact.at("place"), said.at);
    } else if (kind == "lid") {
      content.tight = fact.at("lid") == "tight";
      content.lid_since = said.at;
    } else if (kind == "strain") {
      strains(said, jar);
    } else if (kind == "store") {
      stands(content, "fridge", said.at);
      if (content.ferments()) return;  // it is cooled
      content.stored.push_back(said.at);
      content.in_fridge = true;
      content.in_second = false;
    } else if (kind == "take") {
      content.in_fridge = false;
      if (!content.ferments()) content.lid_since = said.at;
      stands(content, fact.value("place", content.began_in), said.at);
    } else if (kind == "second") {
      content.in_second = true;
      content.tight = fact.value("lid", "tight") == "tight";
      content.lid_since = said.at;
    } else if (kind == "pour") {
      if (content.ferments()) return;  // of the kefir that came out of it before
      content.lid_since = said.at;
      content.milk_ml -= fact.value("ml", 200.0);
      if (content.milk_ml < 300.0) is_not_sure(jar);  // it may have been the last glass
    }
  }

  // It may have been filled from any of it.
  void nothing_is_sure_on_the_table() {
    const auto held = holds_;
    for (const auto& [jar, content] : held) {
      if (content.strained && !content.in_fridge) is_not_sure(jar);
    }
  }

  void is_not_sure(const std::string& jar) {
    holds_.erase(jar);
    unsure_.insert(jar);
  }

  static void stands(Content& content, const std::string& place, Ms at) {
    content.place = place;
    content.here_since = at;
  }

  void starts(const Accepted& said, const std::string& jar) {
    const nlohmann::json& fact = said.fact;
    const nlohmann::json& setup = setups_.at(jar);
    Content content;
    content.ref = fact.value("ref", "");
    content.jar = jar;
    content.culture = fact.value("culture", setup.value("culture", ""));
    content.started = content.lid_since = said.at;
    content.raw = fact.value("treatment", "") == "raw";
    content.tight = fact.value("lid", setup.value("lid", "loose")) == "tight";
    content.milk_ml = fact.value("milk_ml", setup.value("milk_ml", 0.0));
    content.began_in = fact.value("place", setup.value("place", ""));
    stands(content, content.began_in, said.at);
    holds_[jar] = content;
    unsure_.erase(jar);
  }

  void strains(const Accepted& said, const std::string& jar) {
    Content content = holds_.at(jar);
    content.strained = content.lid_since = said.at;
    if (said.fact.contains("into") && said.fact.at("into").is_array()) {
      for (const nlohmann::json& portion : said.fact.at("into")) is_not_sure(portion.at("jar"));
      return is_not_sure(jar);
    }
    const std::string into = said.fact.value("into", jar);
    const double room_ml = setups_.at(into).value("capacity_ml", 1e9);
    // Onto older kefir, or more than the bottle has room for: who knows what went where.
    const bool moves = into != jar;
    if (moves && (!is_sure(into) || holds_.contains(into) || content.milk_ml > room_ml)) {
      is_not_sure(jar);
      return is_not_sure(into);
    }
    const std::string lid = said.fact.value("lid", moves ? "tight" : "");
    if (!lid.empty()) content.tight = lid == "tight";
    holds_.erase(jar);
    if (moves) went_to_[jar] = into;
    content.here_since = moves ? said.at : content.here_since;
    holds_[into] = content;
  }

  std::map<std::string, nlohmann::json> setups_;
  std::set<std::string> unsure_;
  std::map<std::string, std::string> went_to_;  // a jar's kefir, by the last straining
  std::vector<Accepted> facts_;
  std::uint64_t turn_ = 0;
  std::map<std::string, Content> holds_;
};

}  // namespace wheymark::truth
