// Sentences and states, and what is so at their instant by what was said.
#include <algorithm>
#include <cmath>

#include "tests/truth/rules.hpp"
#include "tests/truth/taken_back.hpp"

namespace wheymark::truth {
namespace {

bool is_of_grains(const std::string& stage) {
  static const std::set<std::string> stages{"working", "thickened", "set", "peak",
                                            "over-fermented"};
  return stages.contains(stage);
}

std::string shown(const Content* content, const Kitchen& kitchen) {
  if (content == nullptr) return "by what was said it holds nothing";
  const auto at = [&](Ms when) {
    return day_of(when, kitchen.offset_min) + " " + clock_of(when, kitchen.offset_min);
  };
  return fmt::format(
      "by what was said: started {}{}{}, {} in {} since {}, lid {} since {}", at(content->started),
      content->strained ? ", strained " + at(*content->strained) : "",
      content->stored.empty() ? "" : ", stored " + at(content->stored.front()),
      content->in_fridge ? "kept" : "stands", content->place, at(content->here_since),
      content->tight ? "tight" : "loose", at(content->lid_since));
}

Contradictions in_the_fridge(const Scene& scene) {
  Contradictions found;
  for (const Event& event : scene.news) {
    if (!has(event.text, ": in the fridge since")) continue;
    const std::string stage = scene.outlets.stage(event.jar());
    if (!scene.outlets.keeps(event.jar())) {
      found.push_back({event.id, event.text, "Homie: " + stage});
    }
  }
  return found;
}

Contradictions dates_to_come(const Scene& scene) {
  Contradictions found;
  for (const Event& event : scene.news) {
    for (const auto& [words, field] : {std::pair{"est by ", "best_by"},
                                       {"ast day ", "last_day"},
                                       {"peak comes near ", "peak_opens"},
                                       {"should open near ", "peak_opens"},
                                       {"likely near ", "peak_closes"}}) {
      if (!has(event.text, words) || !event.data.contains(field)) continue;
      if (event.kind.ends_with("-passed") || has(event.text, "Its last day was")) continue;
      if (ms_of(event.data.at(field)) > event.heard - 10 * minute) continue;
      found.push_back({event.id + "." + field, event.text,
                       fmt::format("told {} {}", day_of(event.heard, scene.kitchen.offset_min),
                                   clock_of(event.heard, scene.kitchen.offset_min))});
    }
  }
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string& id = vessel->id;
    const std::string stored = scene.outlets.of_jar(id, "fridge/stored");
    const std::string best_by = scene.outlets.of_jar(id, "fridge/best-by");
    const Content* content = scene.memory.in(id);
    if (stored.empty() || content == nullptr || !content->strained) continue;
    const bool stood_warm = ms_of(stored) - *content->strained > day;
    if (!stood_warm && ms_of(best_by) <= ms_of(stored)) {
      found.push_back({"jar-" + id, "Homie stored: " + stored, "best by: " + best_by});
    }
  }
  return found;
}

// Whoever reads "strain it" has a jar with grains in it.
Contradictions strain_it(const Scene& scene) {
  Contradictions found;
  const auto grains_in = [&](const std::string& jar) {
    const Content* content = scene.memory.in(jar);
    return !scene.memory.is_sure(jar) || (content != nullptr && content->ferments());
  };
  for (const Event& event : scene.news) {
    const bool says = has(event.text, "Strain it") || has(event.text, "Have strainer");
    if (says && !event.jar().empty() && !grains_in(event.jar())) {
      found.push_back({event.id, event.text, shown(scene.memory.in(event.jar()), scene.kitchen)});
    }
  }
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string& id = vessel->id;
    if (grains_in(id)) continue;
    const std::string& spoken = scene.outlets.tiles.at(id).spoken;
    if (has(spoken, "Strain it") || has(spoken, "Strain about")) {
      found.push_back({"jar-" + id + " tile", spoken, shown(scene.memory.in(id), scene.kitchen)});
    }
    for (const char* alert : {"peak-open", "over-fermented"}) {
      const std::string text = scene.outlets.of_jar(id, std::string("$alert/") + alert);
      if (!text.empty()) {
        found.push_back({"jar-" + id + " alert", text, shown(scene.memory.in(id), scene.kitchen)});
      }
    }
    const auto plan = scene.outlets.planned.find(id);
    if (plan != scene.outlets.planned.end() &&
        plan->second.value("why", "").starts_with("Strain it now")) {
      found.push_back({"jar-" + id + " plan", plan->second.at("why"),
                       shown(scene.memory.in(id), scene.kitchen)});
    }
  }
  return found;
}

Contradictions stages_after_straining(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    const std::string stage = scene.outlets.stage(id);
    if (content.ferments() == is_of_grains(stage) || stage == "suspect") continue;
    found.push_back({"jar-" + id, shown(&content, scene.kitchen), "Homie: " + stage});
  }
  return found;
}

Contradictions kept_is_kept(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    const std::string stage = scene.outlets.stage(id);
    if (stage == "suspect" || content.ferments() || content.in_fridge == is_kept(stage)) continue;
    found.push_back({"jar-" + id, shown(&content, scene.kitchen), "Homie: " + stage});
  }
  return found;
}

// What cannot both be news of one jar.
Contradictions one_instant(const Scene& scene) {
  static const std::vector<std::pair<std::string, std::string>> exclude{
      {"peak-near", "peak-open"},
      {"peak-near", "peak-closing"},
      {"peak-near", "over-fermented"},
      {"peak-open", "over-fermented"},
      {"peak-open", "peak-closing"},
      {"peak-closing", "over-fermented"},
      {"best-by-near", "best-by-passed"},
      {"best-by-near", "last-day-passed"},
      {"best-by-near", "last-day-near"},
      {"last-day-near", "last-day-passed"},
      {"best-by-passed", "last-day-passed"},
      {"stored", "best-by-passed"},
      {"stored", "last-day-passed"},
      {"stored", "best-by-near"},
      {"stored", "stored"},
      {"strained", "peak-open"},
      {"strained", "peak-near"},
      {"strained", "over-fermented"},
      {"discard-grains", "grains-advice"},
      {"discard-grains", "grains-hungry"},
      {"discard-grains", "surplus-grains"},
      {"room-too-warm", "room-too-cold"}};
  Contradictions found;
  for (std::size_t i = 0; i < scene.news.size(); ++i) {
    for (std::size_t j = 0; j < scene.news.size(); ++j) {
      const Event& one = scene.news[i];
      const Event& other = scene.news[j];
      if (i == j || one.subject != other.subject) continue;
      if (one.kind == other.kind && i > j) continue;
      // One batch and the next, when a start was told late.
      const auto batch_of = [](const Event& event) {
        return event.data.value("batch_started", "");
      };
      const bool both_say = !batch_of(one).empty() && !batch_of(other).empty();
      if (both_say && batch_of(one) != batch_of(other)) continue;
      for (const auto& [a, b] : exclude) {
        if (one.kind == a && other.kind == b) found.push_back({one.id, one.text, other.text});
      }
    }
  }
  return found;
}

// The same thing, told again under another id.
Contradictions told_once(const Scene& scene) {
  static const std::map<std::string, const char*> of{{"batch-started", "batch_started"},
                                                     {"peak-near", "batch_started"},
                                                     {"peak-open", "batch_started"},
                                                     {"peak-closing", "batch_started"},
                                                     {"over-fermented", "batch_started"},
                                                     {"strained", "batch_started"},
                                                     {"best-by-near", "stored"},
                                                     {"best-by-passed", "stored"},
                                                     {"last-day-near", "stored"},
                                                     {"last-day-passed", "stored"},
                                                     {"vent-lid", "lid_since"}};
  Contradictions found;
  for (const Event& event : scene.news) {
    const auto field = of.find(event.kind);
    if (field == of.end() || !event.data.contains(field->second)) continue;
    // A second fermentation's lid is told of daily, on purpose.
    const Content* content = scene.memory.in(event.jar());
    const bool in_second = content != nullptr && content->in_second;
    if (event.kind == "vent-lid" && (in_second || !scene.memory.is_sure(event.jar()))) continue;
    for (const Event& before : scene.history) {
      if (before.id == event.id || before.kind != event.kind) continue;
      if (before.subject != event.subject || !before.data.contains(field->second)) continue;
      if (before.data.at(field->second) != event.data.at(field->second)) continue;
      if (before.heard > event.heard || looked_between(scene, before, event)) continue;
      // Another hour was told for the straining meanwhile, so that is what is said now.
      if (event.kind == "strained" && before.time != event.time) continue;
      found.push_back({event.id, before.id + ": " + before.text, event.text});
      break;
    }
  }
  return found;
}

// Of one batch: near, open, closing, over; never back.
Contradictions in_their_order(const Scene& scene) {
  static const std::vector<std::string> order{"batch-started", "peak-near",      "peak-open",
                                              "peak-closing",  "over-fermented", "strained",
                                              "best-by-near",  "best-by-passed", "last-day-passed"};
  const auto rank = [&](const std::string& kind) {
    return std::find(order.begin(), order.end(), kind) - order.begin();
  };
  Contradictions found;
  for (const Event& event : scene.news) {
    if (rank(event.kind) == static_cast<std::ptrdiff_t>(order.size())) continue;
    for (const char* since : {"batch_started", "stored"}) {
      if (!event.data.contains(since)) continue;
      for (const Event& before : scene.history) {
        if (before.heard >= event.heard || before.subject != event.subject) continue;
        if (!before.data.contains(since) || before.data.at(since) != event.data.at(since)) continue;
        const auto later = rank(before.kind);
        if (later == static_cast<std::ptrdiff_t>(order.size()) || later <= rank(event.kind))
          continue;
        if (looked_between(scene, before, event)) continue;
        found.push_back({event.id, before.text, "later: " + event.text});
        break;
      }
    }
  }
  return found;
}

Contradictions a_peak_to_come(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    const std::string stage = scene.outlets.stage(id);
    const std::string opens = scene.outlets.of_jar(id, "batch/peak-opens");
    const std::string closes = scene.outlets.of_jar(id, "batch/peak-closes");
    const auto differs = [&, &id = id](const std::string& what) {
      found.push_back({"jar-" + id, "Homie: " + stage, what});
    };
    const bool before_peak = stage == "working" || stage == "thickened" || stage == "set";
    if (before_peak && !opens.empty() && ms_of(opens) < scene.outlets.at - 6 * minute) {
      differs("peak opens " + opens);
    }
    if (stage == "peak" && !closes.empty() && ms_of(closes) < scene.outlets.at - 6 * minute) {
      differs("peak closes " + closes);
    }
    if (!opens.empty() && !closes.empty() && ms_of(closes) <= ms_of(opens)) {
      differs("opens " + opens + ", closes " + closes);
    }
    const std::string hours = scene.outlets.of_jar(id, "batch/hours-to-peak");
    if (!hours.empty() && before_peak && std::stod(hours) < -0.15) differs(hours + " h to peak");
    const std::string progress = scene.outlets.of_jar(id, "batch/progress");
    if (!progress.empty() && before_peak && std::stod(progress) > 101.0) {
      differs("progress " + progress);
    }
  }
  return found;
}

Contradictions plans(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, plan] : scene.outlets.planned) {
    const std::string why = plan.value("why", "");
    const std::string stage = scene.outlets.stage(id);
    const auto differs = [&, &id = id](const std::string& what) {
      found.push_back({"jar-" + id, why, what});
    };
    const Content* content = scene.memory.in(id);
    if (stage == "over-fermented" && !has(why, "Strain it now") && !has(why, "Feed at")) {
      differs("Homie: over-fermented");
    }
    if (has(why, "Cool it") && content != nullptr && scene.kitchen.is_fridge(content->place)) {
      differs(shown(content, scene.kitchen));
    }
    if (plan.contains("best") && plan.at("best").is_array() && !plan.at("best").empty()) {
      const nlohmann::json& best = plan.at("best").front();
      for (const char* field : {"start", "at", "until"}) {
        if (!best.contains(field) || !best.at(field).is_string()) continue;
        if (ms_of(best.at(field)) < scene.outlets.at - 2 * minute) {
          differs(std::string(field) + " is past: " + best.at(field).get<std::string>());
        }
      }
    }
  }
  return found;
}

// "X holds nothing", "X is in the fridge already", "X is not in the fridge".
Contradictions refusals(const Scene& scene) {
  Contradictions found;
  if (scene.said.empty()) return found;
  const Said& last = scene.said.back();
  if (last.accepted || last.at != scene.outlets.at || last.fact.contains("at")) return found;
  if (has(last.why, "it does not go with")) return found;  // of what would have been
  const auto differs = [&](const std::string& jar) {
    found.push_back({last.fact.at("ref"), last.fact.dump() + " refused: " + last.why,
                     "jar-" + jar + " Homie: " + scene.outlets.stage(jar)});
  };
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string stage = scene.outlets.stage(vessel->id);
    // An empty one that is suspect wants washing.
    const bool may_be_empty = stage == "empty" || stage == "suspect";
    if (has(last.why, vessel->name + " holds nothing") && !may_be_empty) differs(vessel->id);
    const Content* content = scene.memory.in(vessel->id);
    const bool stands_there = content != nullptr && scene.kitchen.is_fridge(content->place);
    if (has(last.why, vessel->name + " is in the fridge") && !stands_there &&
        !scene.outlets.keeps(vessel->id)) {
      differs(vessel->id);
    }
    if (has(last.why, vessel->name + " is not in the fridge") && is_kept(stage)) {
      differs(vessel->id);
    }
    if (has(last.why, vessel->name + " still has its grains") && stage != "suspect" &&
        !is_of_grains(stage)) {
      differs(vessel->id);
    }
  }
  return found;
}

Contradictions lids(const Scene& scene) {
  Contradictions found;
  for (const Event& event : scene.news) {
    if (event.kind != "vent-lid") continue;
    const Content* content = scene.memory.in(event.jar());
    if (!scene.memory.is_sure(event.jar()) || (content != nullptr && content->tight)) continue;
    found.push_back({event.id, event.text, shown(content, scene.kitchen)});
  }
  return found;
}

Contradictions grains(const Scene& scene) {
  Contradictions found;
  for (const std::string& culture : scene.kitchen.cultures) {
    bool in_milk = false;
    for (const auto& [id, content] : scene.memory.all()) {
      in_milk = in_milk || (content.ferments() && content.culture == culture);
    }
    const std::string state = scene.outlets.homie("culture-" + culture, "grains/state");
    const bool says_so =
        state == "working" || state == "waking" || state == "hungry" || state == "suspect";
    if (in_milk && !says_so) {
      found.push_back({"culture-" + culture, "Homie: " + state, "its grains are in milk"});
    }
    if (!in_milk && state == "working") {
      found.push_back({"culture-" + culture, "Homie: working", "no jar has its grains in it"});
    }
  }
  for (const Event& event : scene.news) {
    if (event.kind != "grains-hungry" || !has(event.text, "no milk told of")) continue;
    for (const auto& [id, content] : scene.memory.all()) {
      if (!content.ferments() || event.subject != "culture-" + content.culture) continue;
      found.push_back({event.id, event.text, shown(&content, scene.kitchen)});
    }
  }
  return found;
}

Contradictions rooms(const Scene& scene) {
  Contradictions found;
  for (const Event& event : scene.news) {
    if (event.kind != "room-too-warm" && event.kind != "room-too-cold") continue;
    bool grains_there = false;
    for (const auto& [id, content] : scene.memory.all()) {
      grains_there =
          grains_there || (content.ferments() && event.subject == "place-" + content.place);
    }
    if (!grains_there) found.push_back({event.id, event.text, "no jar with grains stands there"});
  }
  return found;
}

}  // namespace

const std::vector<Rule>& rules_of_premises() {
  static const std::vector<Rule> rules{
      {"what is told to be in the fridge is there", in_the_fridge},
      {"a date that is to come has not passed", dates_to_come},
      {"only a jar with its grains is to be strained", strain_it, true},
      {"a stage of fermenting is that of a jar with grains", stages_after_straining, true},
      {"what is in the fridge has a stage of the fridge", kept_is_kept, true},
      {"what is told in one instant goes together", one_instant},
      {"nothing is told twice", told_once},
      {"what is told of a batch does not go back", in_their_order},
      {"a peak that is to come has not passed", a_peak_to_come, true},
      {"a plan can be followed", plans, true},
      {"a refusal's reason is so", refusals},
      {"only a tight lid is to be vented", lids},
      {"grains in milk are told as such", grains, true},
      {"a room is too warm or too cold for grains that stand there", rooms}};
  return rules;
}

}  // namespace wheymark::truth
