// Cautions, and whether they are there where their condition holds by what was said and by how warm
// it truly was.
#include <algorithm>
#include <set>

#include "tests/truth/rules.hpp"

namespace wheymark::truth {
namespace {

// What every event of a kind carries, whatever the household.
Contradictions of_their_kind(const Scene& scene) {
  static const std::map<std::string, std::string> words{{"over-fermented", "discard"},
                                                        {"vent-lid", "burst"},
                                                        {"last-day-near", "throw it out"},
                                                        {"last-day-passed", "throw it"},
                                                        {"discard-grains", "doctor"},
                                                        {"fridge-too-warm", "throw it"},
                                                        {"room-too-warm", "food-safety advice"},
                                                        {"left-out", "food-safety advice"},
                                                        {"not-souring", "food-safety advice"}};
  Contradictions found;
  for (const Event& event : scene.news) {
    const auto wanted = words.find(event.kind);
    if (wanted == words.end() || has(event.caution, wanted->second)) continue;
    found.push_back({event.id, event.text, "caution: " + event.caution});
  }
  return found;
}

Contradictions raw_milk(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    if (!content.raw) continue;
    const bool told =
        std::any_of(scene.history.begin(), scene.history.end(),
                    [](const Event& event) { return has(event.caution, "Raw milk"); });
    if (!told) found.push_back({"jar-" + id, "raw milk is in it", "no caution was ever given"});
  }
  return found;
}

// A tight lid is told of within a day on the table and within five days in the fridge, give or take
// two hours; and for as long as the gas presses, something that stands says so.
Contradictions tight_lids(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    if (!content.tight) continue;
    const Ms patience = content.in_fridge ? 5 * day : day;
    const Ms since = std::max(content.lid_since, content.here_since);
    if (scene.outlets.at - since < patience + 2 * hour) continue;
    const Ms lid_since = content.lid_since;
    const bool told =
        std::any_of(scene.history.begin(), scene.history.end(), [&, &id = id](const Event& event) {
          return event.kind == "vent-lid" && event.is_of_jar(id) &&
                 ms_of(event.data.at("lid_since")) >= lid_since - hour;
        });
    if (!told) {
      found.push_back(
          {"jar-" + id,
           fmt::format("tightly closed for {} h", (scene.outlets.at - lid_since) / hour),
           "nobody was told to open it"});
    }
  }
  return found;
}

Contradictions pressing_gas(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    const std::string pressure = scene.outlets.of_jar(id, "batch/pressure");
    if (pressure.empty() || std::stod(pressure) < 110.0) continue;
    const std::string alert = scene.outlets.of_jar(id, "$alert/vent-lid");
    if (alert.empty()) found.push_back({"jar-" + id, pressure + " kPa", "no alert stands"});
  }
  return found;
}

// Seen with what grains never have, by a look that still counts; none of them thrown away since: a
// discarded jar may have been the last that held them.
std::set<std::string> suspects(const Scene& scene) {
  std::map<std::string, std::string> went_in;  // by jar; empty: its set-up's culture
  static const std::set<std::string> bad{"pink", "black", "grey", "blue", "green", "orange"};
  std::set<std::string> cultures;
  for (const Accepted& said : scene.memory.facts()) {
    const nlohmann::json& fact = said.fact;
    const std::string culture = fact.value("culture", "");
    if (fact.at("fact") == "inspect" && !culture.empty()) {
      if (bad.contains(fact.value("colour", "")) || fact.value("smell", "") == "rotten" ||
          fact.value("mould", false)) {
        cultures.insert(culture);
      }
    }
    if (fact.at("fact") == "spare" && fact.value("all", false)) cultures.erase(culture);
    if (fact.at("fact") == "start") went_in[fact.at("jar")] = culture;
    if (fact.at("fact") != "discard") continue;
    const std::string jar = fact.at("jar");
    cultures.erase(went_in[jar]);
    for (const Vessel* vessel : scene.kitchen.vessels()) {
      if (vessel->id == jar && went_in[jar].empty()) cultures.erase(vessel->culture);
    }
  }
  return cultures;
}

Contradictions suspect_cultures(const Scene& scene) {
  Contradictions found;
  const std::set<std::string> cultures = suspects(scene);
  for (const Event& event : scene.news) {
    static const std::set<std::string> kinds{"batch-started", "peak-near",      "peak-open",
                                             "peak-closing",  "over-fermented", "strained",
                                             "stored"};
    if (!kinds.contains(event.kind)) continue;
    const std::string into = event.data.value("into", event.jar());
    const Content* content = scene.memory.in(into);
    if (content == nullptr || !cultures.contains(content->culture)) continue;
    if (has(event.caution, "iscard") || has(event.caution, "hrow")) continue;
    found.push_back({event.id, event.text, "its grains must be discarded: " + event.caution});
  }
  return found;
}

// What is advised to be used first may be tasted.
Contradictions used_first(const Scene& scene) {
  const std::string jar = scene.outlets.homie("wheymark", "stock/use-first");
  if (jar.empty()) return {};
  const std::string last_day = scene.outlets.of_jar(jar, "fridge/last-day");
  const bool is_over = !last_day.empty() && ms_of(last_day) < scene.outlets.at - 6 * minute;
  if (scene.outlets.stage(jar) != "suspect" && !is_over) return {};
  return {{"stock", "use first: " + jar,
           "Homie: " + scene.outlets.stage(jar) + ", last day " + last_day}};
}

// How long it has stood above 5 degC where it stands now, at room warmth; true air.
double warm_hours(const Scene& scene, const Content& content, Ms since, double above_c) {
  const auto air = scene.air.find(content.place);
  if (air == scene.air.end()) return 0.0;
  double hours = 0.0;
  for (auto reading = air->second.rbegin(); reading != air->second.rend(); ++reading) {
    if (reading->first < std::max(since, content.here_since)) break;
    if (reading->second > above_c) hours += 0.5;  // read twice an hour
  }
  return hours;
}

bool was_told(const Scene& scene, const std::string& jar, const std::string& kind, Ms since) {
  return std::any_of(scene.history.begin(), scene.history.end(), [&](const Event& event) {
    return event.kind == kind && event.is_of_jar(jar) && event.heard >= since;
  });
}

// Strained kefir that has stood for more than three days in a warm room.
Contradictions left_out(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    // A second fermentation stands there on purpose: it is told of by its own clock.
    if (content.ferments() || content.in_fridge || content.in_second) continue;
    if (warm_hours(scene, content, *content.strained, 18.0) < 72.0) continue;
    if (was_told(scene, id, "left-out", std::max(*content.strained, content.here_since))) continue;
    found.push_back(
        {"jar-" + id, "strained kefir stands warm for more than three days", "nobody was told"});
  }
  return found;
}

// Milk that was still milk after more than a day in the warm.
Contradictions not_souring(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    if (!content.ferments() || scene.outlets.stage(id) == "suspect") continue;
    const bool looked = content.last_sign == "still-milk" && content.sign_at > content.started;
    const bool measured = content.ph && *content.ph > 5.5;
    const Ms seen = std::max(looked ? content.sign_at : 0, measured ? content.ph_at : 0);
    if (seen == 0) continue;
    const double hours =
        warm_hours(scene, content, content.started, 18.0) - warm_hours(scene, content, seen, 18.0);
    if (hours < 30.0 || was_told(scene, id, "not-souring", content.started)) continue;
    found.push_back({"jar-" + id,
                     fmt::format("not sour after {:.0f} h in the warm: {}", hours,
                                 looked ? "still milk" : fmt::format("pH {}", *content.ph)),
                     "nobody was told"});
  }
  return found;
}

}  // namespace

const std::vector<Rule>& rules_of_cautions() {
  static const std::vector<Rule> rules{
      {"each kind that can harm carries its caution", of_their_kind},
      {"raw milk carries its caution", raw_milk, true},
      {"a tight lid is told of in time", tight_lids, true},
      {"an alert stands while gas presses", pressing_gas, true},
      {"what suspect grains made carries a caution", suspect_cultures},
      {"what is to be used first may be tasted", used_first, true},
      {"kefir that stands warm for days is told of", left_out, true},
      {"milk that does not sour is told of", not_souring, true}};
  return rules;
}

}  // namespace wheymark::truth
