// What the people of a household do from hour to hour, and what they say of it: late, wrongly, of
// the wrong bottle, taken back, or never. They look at what is shown, as people do, and forget.
//
// Each throw belongs to an hour and a jar, so that a story stays the same where it was the same.
#pragma once

#include <array>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "tests/truth/kitchen.hpp"
#include "tests/truth/memory.hpp"

namespace wheymark::truth {

class Person {
 public:
  // `shown` gives what Homie shows of a jar: ("blue", "batch/stage").
  Person(const Kitchen& kitchen, const Memory& memory,
         std::function<std::string(const std::string&, const std::string&)> shown)
      : kitchen_(kitchen), memory_(memory), shown_(std::move(shown)) {}

  // What is said in this hour, each with how long it was put off.
  struct Saying {
    nlohmann::json fact;
    Ms late_by;
  };
  std::vector<Saying> in_the_hour(Ms now) {
    now_ = now;
    said_.clear();
    const auto clock = (now + kitchen_.offset_min * minute) / hour % 24;
    if (clock < 6) return said_;
    std::uint64_t number = 0;
    for (const Vessel& jar : kitchen_.jars) {
      dice_ = dice_of(++number);
      looks_after(jar);
    }
    for (const Vessel& bottle : kitchen_.bottles) {
      dice_ = dice_of(++number);
      const Content* content = memory_.in(bottle.id);
      if (!memory_.is_sure(bottle.id)) looks_into(bottle);
      if (content != nullptr) content->in_fridge ? keeps(bottle, *content) : has_out(bottle);
    }
    dice_ = dice_of(++number);
    looks_after_the_grains();
    if (dice_.happens(0.02 * kitchen_.mistakes) && !memory_.facts().empty()) takes_one_back();
    if (dice_.happens(0.05 * kitchen_.mistakes)) says_nonsense();
    return said_;
  }

 private:
  [[nodiscard]] test::Dice dice_of(std::uint64_t number) const {
    return {kitchen_.seed, 1000 + static_cast<std::uint64_t>(now_ / hour) * 16 + number};
  }

  void say(nlohmann::json fact) {
    Ms late = 0;
    if (dice_.happens(kitchen_.tells_late)) {
      late = static_cast<Ms>(dice_.between(0.3, dice_.happens(0.2) ? 90.0 : 12.0) * hour);
    }
    said_.push_back({std::move(fact), late});
  }

  [[nodiscard]] double hours_since(Ms then) const {
    return static_cast<double>(now_ - then) / static_cast<double>(hour);
  }

  // --- a jar with its grains
  // ----------------------------------------------------------------------

  void looks_after(const Vessel& jar) {
    const Content* content = memory_.in(jar.id);
    if (content == nullptr) {
      if (dice_.happens(0.25)) starts(jar);
      return;
    }
    if (!content->ferments()) {
      content->in_fridge ? keeps(jar, *content) : has_out(jar);
      if (dice_.happens(0.02)) starts(jar);
      return;
    }
    if (dice_.happens(0.05)) sees(jar);
    if (dice_.happens(0.03)) measures(jar, *content);
    if (dice_.happens(0.03)) {
      say({{"fact", "lid"}, {"jar", jar.id}, {"lid", dice_.happens(0.5) ? "tight" : "loose"}});
    }
    if (dice_.happens(0.02)) {
      const std::array<const char*, 3> to{"kitchen", "larder", "fridge"};
      say({{"fact", "move"}, {"jar", jar.id}, {"place", dice_.one_of(to)}});
    }
    const std::string stage = shown_(jar.id, "batch/stage");
    const bool ready = stage == "peak" || stage == "over-fermented";
    if (dice_.happens(ready ? kitchen_.strains_in_time : 0.008)) return strains(jar);
    if (dice_.happens(0.003)) {
      say({{"fact", "discard"}, {"jar", jar.id}, {"why", "it looked odd"}});
    } else if (dice_.happens(0.006)) {
      say({{"fact", "store"}, {"jar", jar.id}});  // with its grains in it
    } else if (hours_since(content->started) > 8.0 && dice_.happens(0.006)) {
      starts(jar);  // strained and fed again, and only the second is said
    }
  }

  void starts(const Vessel& jar) {
    nlohmann::json fact{{"fact", "start"}, {"jar", jar.id}};
    if (kitchen_.buys_raw_milk && dice_.happens(0.6)) fact["treatment"] = "raw";
    if (dice_.happens(0.1)) fact["treatment"] = "ultra-pasteurised";
    if (dice_.happens(0.2)) fact["milk_ml"] = 50.0 * std::round(jar.capacity_ml * 0.95 / 50.0);
    if (dice_.happens(0.2)) fact["grain_g"] = dice_.whole(8, 60);
    if (dice_.happens(0.15)) fact["lid"] = "tight";
    if (dice_.happens(0.2)) fact["place"] = dice_.happens(0.5) ? "larder" : "kitchen";
    if (dice_.happens(0.1)) fact["milk_c"] = dice_.whole(15, 30);
    say(fact);
  }

  void sees(const Vessel& jar) {
    static const std::array signs{"still-milk",   "thickened",  "set",
                                  "whey-pockets", "whey-layer", "separated"};
    const std::string stage = shown_(jar.id, "batch/stage");
    double at = 0.0;
    if (stage == "thickened") at = 1.0;
    if (stage == "set") at = 2.0;
    if (stage == "peak") at = 3.0;
    if (stage == "over-fermented") at = 4.0;
    at = kitchen_.grains_are_dead ? 0.0 : std::round(at + 0.6 * dice_.bell());
    const auto sign = static_cast<std::size_t>(std::clamp(at, 0.0, 5.0));
    say({{"fact", "sign"}, {"jar", jar.id}, {"sign", signs[sign]}});
  }

  void measures(const Vessel& jar, const Content& content) {
    const std::string shown = shown_(jar.id, "batch/ph");
    double ph = shown.empty() ? 5.0 : std::stod(shown) + 0.08 * dice_.bell();
    if (kitchen_.grains_are_dead && content.ferments()) ph = 6.55 + 0.05 * dice_.bell();
    say({{"fact", "ph"},
         {"jar", jar.id},
         {"ph", std::round(100.0 * std::clamp(ph, 3.2, 6.8)) / 100.0}});
  }

  void strains(const Vessel& jar) {
    nlohmann::json fact{{"fact", "strain"}, {"jar", jar.id}};
    static const std::array verdicts{"early", "right", "late"};
    if (dice_.happens(0.5)) fact["verdict"] = dice_.one_of(verdicts);
    if (dice_.happens(0.5)) fact["grain_g"] = dice_.whole(10, 60);
    std::string into = jar.id;
    if (dice_.happens(0.9)) {
      into = a_bottle();
      fact["into"] = into;
    }
    if (dice_.happens(0.1)) fact["lid"] = "loose";
    if (kitchen_.bottles.size() > 1 && dice_.happens(0.1)) {
      const double half_ml = 50.0 * std::floor(0.5 * milk_ml(jar) / 50.0);
      fact["into"] = {{{"jar", kitchen_.bottles[0].id}, {"ml", half_ml}},
                      {{"jar", kitchen_.bottles[1].id}, {"ml", half_ml}}};
      fact.erase("lid");
    }
    say(fact);
    if (dice_.happens(kitchen_.stores_at_once)) say({{"fact", "store"}, {"jar", into}});
    if (dice_.happens(0.2)) say({{"fact", "wash"}, {"jar", jar.id}});
    if (dice_.happens(0.5)) starts(jar);
  }

  [[nodiscard]] double milk_ml(const Vessel& jar) const {
    const Content* content = memory_.in(jar.id);
    return content == nullptr || content->milk_ml <= 0.0 ? 500.0 : content->milk_ml;
  }

  // An empty one, mostly.
  std::string a_bottle() {
    for (const Vessel& bottle : kitchen_.bottles) {
      if (memory_.in(bottle.id) == nullptr && dice_.happens(0.9)) return bottle.id;
    }
    if (dice_.happens(kitchen_.mistakes)) return dice_.one_of(kitchen_.jars).id;
    return dice_.one_of(kitchen_.bottles).id;
  }

  // --- a bottle
  // -----------------------------------------------------------------------------------

  void has_out(const Vessel& bottle) {
    const std::string& id = bottle.id;
    if (dice_.happens(kitchen_.stores_later)) return say({{"fact", "store"}, {"jar", id}});
    if (dice_.happens(0.01)) return say({{"fact", "finish"}, {"jar", id}});
    if (dice_.happens(0.01)) {
      return say({{"fact", "second"}, {"jar", id}, {"sugar_g", 8}, {"lid", "tight"}});
    }
    uses(bottle);
  }

  // Nobody remembers what is in it.
  void looks_into(const Vessel& bottle) {
    if (dice_.happens(0.03)) return say({{"fact", "finish"}, {"jar", bottle.id}});
    if (dice_.happens(0.05)) return say({{"fact", "store"}, {"jar", bottle.id}});
    if (dice_.happens(0.03)) return say({{"fact", "pour"}, {"jar", bottle.id}});
  }

  void keeps(const Vessel& bottle, const Content& content) {
    const std::string& id = bottle.id;
    const double old_d = hours_since(content.stored.front()) / 24.0;
    if (dice_.happens(0.012)) {
      say({{"fact", "take"}, {"jar", id}});
      if (dice_.happens(0.6)) say({{"fact", "store"}, {"jar", id}});
      return;
    }
    if (dice_.happens(old_d > 14.0 ? 0.02 : 0.008)) return say({{"fact", "finish"}, {"jar", id}});
    uses(bottle);
  }

  void uses(const Vessel& bottle) {
    const std::string& id = bottle.id;
    if (dice_.happens(0.02)) {
      nlohmann::json fact{{"fact", "pour"}, {"jar", id}};
      if (dice_.happens(0.6)) fact["ml"] = 50 * dice_.whole(2, 12);
      return say(fact);
    }
    if (dice_.happens(0.012)) {
      return say({{"fact", "lid"}, {"jar", id}, {"lid", dice_.happens(0.7) ? "tight" : "loose"}});
    }
    if (dice_.happens(0.005)) return measures(bottle, *memory_.in(id));
    if (dice_.happens(0.002)) {
      return say({{"fact", "inspect"}, {"jar", id}, {"mould", dice_.happens(0.5)}});
    }
    if (dice_.happens(0.002)) return say({{"fact", "discard"}, {"jar", id}, {"why", "too old"}});
  }

  // --- the grains
  // ---------------------------------------------------------------------------------

  void looks_after_the_grains() {
    for (const std::string& culture : kitchen_.cultures) {
      if (dice_.happens(0.004)) {
        const bool wrongly = dice_.happens(kitchen_.mistakes);
        say({{"fact", "weigh"},
             {"culture", culture},
             {"grain_g", wrongly ? dice_.whole(400, 900) : dice_.whole(20, 120)}});
      }
      if (dice_.happens(0.005)) inspects(culture);
      if (dice_.happens(0.001)) say({{"fact", "rest"}, {"culture", culture}});
      if (dice_.happens(0.001)) say({{"fact", "wake"}, {"culture", culture}});
      if (dice_.happens(0.0015)) {
        say({{"fact", "spare"}, {"culture", culture}, {"use", "eaten"}, {"grain_g", 10}});
      }
      if (dice_.happens(0.0005)) {
        say({{"fact", "spare"}, {"culture", culture}, {"use", "thrown-away"}, {"all", true}});
      }
    }
    if (kitchen_.cultures.size() > 1 && dice_.happens(0.001)) {
      say({{"fact", "split"}, {"culture", "tilly"}, {"into", "otto"}, {"grain_g", 10}});
    }
  }

  void inspects(const std::string& culture) {
    nlohmann::json fact{{"fact", "inspect"}, {"culture", culture}};
    static const std::array good{"white", "cream", "yellowish"};
    static const std::array bad{"pink", "black", "green"};
    static const std::array smells{"neutral", "yeasty", "sour", "strongly-yeasty", "strongly-sour"};
    fact["colour"] = dice_.happens(0.15) ? dice_.one_of(bad) : dice_.one_of(good);
    if (dice_.happens(0.4)) fact["smell"] = dice_.one_of(smells);
    if (dice_.happens(0.05)) fact["smell"] = "rotten";
    if (dice_.happens(0.03)) fact["mould"] = true;
    say(fact);
  }

  // --- mistakes
  // -----------------------------------------------------------------------------------

  void takes_one_back() {
    const auto& facts = memory_.facts();
    const auto back = static_cast<std::size_t>(dice_.whole(1, 6));
    const Accepted& said = facts[facts.size() - std::min(back, facts.size())];
    say({{"fact", "retract"}, {"ref", said.fact.at("ref")}});
  }

  void says_nonsense() {
    const std::string bottle = dice_.one_of(kitchen_.bottles).id;
    const std::string jar = dice_.one_of(kitchen_.jars).id;
    switch (dice_.whole(0, 4)) {
      case 0:
        return say({{"fact", "store"}, {"jar", bottle}});
      case 1:
        return say({{"fact", "take"}, {"jar", bottle}});
      case 2:
        return say({{"fact", "strain"}, {"jar", jar}, {"into", bottle}});
      case 3:
        return say({{"fact", "pour"}, {"jar", bottle}, {"ml", 5000}});
      default:
        return say({{"fact", "second"}, {"jar", bottle}, {"sugar_g", 10}, {"lid", "tight"}});
    }
  }

  const Kitchen& kitchen_;
  const Memory& memory_;
  std::function<std::string(const std::string&, const std::string&)> shown_;
  test::Dice dice_{0, 0};
  Ms now_ = 0;
  std::vector<Saying> said_;
};

}  // namespace wheymark::truth
