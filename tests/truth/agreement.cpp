// Two outlets that show the same thing: a stage, a date, an age, an amount.
#include <cctype>
#include <cmath>
#include <set>

#include "tests/truth/rules.hpp"

namespace wheymark::truth {
namespace {

using Strings = std::vector<std::string>;

std::string headline_for(const std::string& stage) {
  static const std::map<std::string, std::string> words{
      {"empty", "Empty"},         {"working", "Working"},
      {"thickened", "Thickened"}, {"set", "Set"},
      {"peak", "At its peak"},    {"over-fermented", "Over-fermented"},
      {"strained", "Strained"},   {"fridge", "In the fridge"},
      {"use-soon", "Use soon"},   {"past-best", "Past its best"},
      {"suspect", "Suspect"}};
  const auto found = words.find(stage);
  return found == words.end() ? "?" : found->second;
}

Contradictions stages(const Scene& scene) {
  Contradictions found;
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string& id = vessel->id;
    const std::string stage = scene.outlets.stage(id);
    const std::string wanted = headline_for(stage);
    const auto differs = [&](const std::string& where, const std::string& text) {
      found.push_back({"jar-" + id + " " + where, "Homie: " + stage, where + ": " + text});
    };
    const std::string& tile = scene.outlets.tiles.at(id).headline;
    // What may harm is said before the stage.
    const auto warns = [&](const char* headline, const char* alert) {
      return tile == headline && !scene.outlets.of_jar(id, alert).empty();
    };
    if (warns("Not souring", "$alert/not-souring") || warns("Left out", "$alert/left-out")) {
      continue;
    }
    const std::string& page = scene.outlets.page.headlines.at(id);
    if (wanted != "?" && tile != wanted) differs("tile", tile);
    if (tile != page) differs("page", page + " and tile: " + tile);
    const auto explained = scene.outlets.explained.find(id);
    if (explained != scene.outlets.explained.end() && explained->second.at("stage") != stage) {
      differs("explain", explained->second.at("stage"));
    }
  }
  return found;
}

// "best by Sat 30 Oct" in every text that has such words.
Contradictions fridge_dates(const Scene& scene) {
  Contradictions found;
  const Outlets& outlets = scene.outlets;
  const int offset = scene.kitchen.offset_min;
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string& id = vessel->id;
    if (!is_kept(outlets.stage(id))) continue;
    const std::string best_by = day_of(ms_of(outlets.of_jar(id, "fridge/best-by")), offset);
    const std::string last_day = day_of(ms_of(outlets.of_jar(id, "fridge/last-day")), offset);
    const std::string homie = "Homie: best by " + best_by + ", last day " + last_day;
    const auto differs = [&](const std::string& where, const std::string& text) {
      found.push_back({"jar-" + id + " " + where, homie, where + ": " + text});
    };
    const std::string& spoken = outlets.tiles.at(id).spoken;
    for (const auto& [words, date] : {std::pair{"best by ", best_by}, {"last day ", last_day}}) {
      if (has(spoken, words) && !has(spoken, words + date)) differs("tile", spoken);
    }
    for (const FridgeRow& row : outlets.page.fridge) {
      if (row.name != vessel->name) continue;
      if (row.best_by != best_by || row.last_day != last_day) {
        differs("page", row.best_by + ", " + row.last_day);
      }
    }
    if (const nlohmann::json* bottle = outlets.in_inventory(id)) {
      if (bottle->at("best_by") != outlets.of_jar(id, "fridge/best-by")) {
        differs("inventory", bottle->at("best_by"));
      }
    }
    if (!outlets.in_full) continue;
    for (const nlohmann::json& bottle : outlets.exported.at("bottles")) {
      if (bottle.at("jar") != id || !bottle.at("ended").is_null()) continue;
      const Ms shown = ms_of(outlets.of_jar(id, "fridge/best-by"));
      if (std::abs(ms_of(bottle.at("best_by")) - shown) > minute) {
        differs("export", bottle.at("best_by"));
      }
    }
  }
  return found;
}

// An event's words and its numbers.
Contradictions event_dates(const Scene& scene) {
  Contradictions found;
  for (const Event& event : scene.news) {
    for (const auto& [words, field] :
         {std::pair{"est by ", "best_by"}, {"last day ", "last_day"}}) {
      const std::size_t at = event.text.find(words);
      if (at == std::string::npos || !event.data.contains(field)) continue;
      const std::string told = event.text.substr(at + std::string_view(words).size());
      if (told.size() < 5 || std::isdigit(static_cast<unsigned char>(told[4])) == 0) continue;
      const std::string date = day_of(ms_of(event.data.at(field)), scene.kitchen.offset_min);
      if (!has(event.text, date)) found.push_back({event.id, event.text, field + (": " + date)});
    }
  }
  return found;
}

Contradictions what_is_in_the_fridge(const Scene& scene) {
  Contradictions found;
  std::set<std::string> homie, page, list;
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    // Where it stands is read nowhere while it is suspect.
    const bool unknown =
        scene.outlets.stage(vessel->id) == "suspect" && !scene.memory.is_sure(vessel->id);
    if (unknown) return found;
    const Content* content = scene.memory.in(vessel->id);
    // A suspect one may stand in the fridge with its grains, or unstored.
    const bool suspect = scene.outlets.stage(vessel->id) == "suspect";
    const bool is_stored = !suspect || (content != nullptr && content->in_fridge);
    if (scene.outlets.keeps(vessel->id) && is_stored) homie.insert(vessel->name);
  }
  for (const FridgeRow& row : scene.outlets.page.fridge) page.insert(row.name);
  const auto text = [](const std::set<std::string>& names) {
    std::string all;
    for (const std::string& name : names) all += (all.empty() ? "" : ", ") + name;
    return all.empty() ? std::string("nothing") : all;
  };
  if (homie != page) {
    found.push_back({"fridge page", "stages: " + text(homie), "page: " + text(page)});
  }
  const std::string bottles = scene.outlets.homie("place-fridge", "shelf/bottles");
  if (bottles != std::to_string(homie.size())) {
    found.push_back({"fridge bottles", "stages: " + text(homie), "shelf/bottles: " + bottles});
  }
  if (!scene.outlets.in_full) return found;
  for (const nlohmann::json& bottle : scene.outlets.inventory) list.insert(bottle.at("name"));
  if (homie != list) {
    found.push_back({"fridge inventory", "stages: " + text(homie), "inventory: " + text(list)});
  }
  return found;
}

Contradictions ages(const Scene& scene) {
  Contradictions found;
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string age = scene.outlets.of_jar(vessel->id, "fridge/age");
    if (!is_kept(scene.outlets.stage(vessel->id)) || age.empty()) continue;
    const double days = std::stod(age);
    const auto differs = [&](const std::string& where, const std::string& text) {
      found.push_back(
          {"jar-" + vessel->id + " " + where, "Homie: " + age + " d", where + ": " + text});
    };
    for (const FridgeRow& row : scene.outlets.page.fridge) {
      if (row.name == vessel->name && !row.age.empty() &&
          std::abs(std::stod(row.age) - days) > 0.56) {
        differs("page", row.age);
      }
    }
    const std::string& spoken = scene.outlets.tiles.at(vessel->id).spoken;
    const std::string whole = fmt::format("{:.0f} day", std::floor(days + 0.06));
    const std::string below = fmt::format("{:.0f} day", std::floor(days - 0.06));
    if (has(spoken, " old") && !has(spoken, whole) && !has(spoken, below)) differs("tile", spoken);
  }
  return found;
}

// "The milk is at 21.3", "Strain about 19:40", "Progress to the peak: 62 %".
Contradictions tile_and_homie(const Scene& scene) {
  Contradictions found;
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string& id = vessel->id;
    const std::string& spoken = scene.outlets.tiles.at(id).spoken;
    const auto differs = [&](const std::string& what, const std::string& homie) {
      found.push_back({"jar-" + id + " " + what, spoken, "Homie " + what + ": " + homie});
    };
    const auto compare = [&](const char* from, const char* to, const char* below, double by) {
      const auto number = between(spoken, from, to);
      const std::string homie = scene.outlets.of_jar(id, below);
      if (!number) return;
      if (homie.empty() || std::abs(std::stod(*number) - std::stod(homie)) > by) {
        differs(below, homie);
      }
    };
    compare("The milk is at ", " ", "batch/milk-temperature", 0.81);
    compare("Progress to the peak: ", " %", "batch/progress", 1.6);
    const std::string opens = scene.outlets.of_jar(id, "batch/peak-opens");
    if (const std::size_t at = spoken.find("Strain about "); at != std::string::npos) {
      const std::string rest = spoken.substr(at + std::string_view("Strain about ").size(), 9);
      bool told = opens.empty();
      for (const Ms off : {-minute, Ms{0}, minute}) {
        told = told || has(rest, clock_of(ms_of(opens) + off, scene.kitchen.offset_min));
      }
      if (!told) differs("batch/peak-opens", opens);
    }
    if (spoken.find("No peak in sight") != std::string::npos && !opens.empty()) {
      differs("batch/peak-opens", opens);
    }
  }
  return found;
}

Contradictions published_and_rendered_tiles(const Scene& scene) {
  Contradictions found;
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const auto published = scene.outlets.retained.find("wheymark/tile/jar-" + vessel->id);
    if (published == scene.outlets.retained.end() || !scene.outlets.in_full) continue;
    const Tile& rendered = scene.outlets.tiles.at(vessel->id);
    const Tile shown = tile_from(published->second);
    if (shown.headline != rendered.headline) {
      found.push_back(
          {"jar-" + vessel->id, "published: " + shown.headline, "rendered: " + rendered.headline});
    }
    if (rendered.spoken != scene.outlets.page.spoken.at(vessel->id)) {
      found.push_back({"jar-" + vessel->id, "tile: " + rendered.spoken,
                       "page: " + scene.outlets.page.spoken.at(vessel->id)});
    }
  }
  return found;
}

Contradictions masses(const Scene& scene) {
  Contradictions found;
  for (const std::string& culture : scene.kitchen.cultures) {
    const std::string homie = scene.outlets.homie("culture-" + culture, "grains/mass");
    const auto page = scene.outlets.page.grains.find(culture);
    if (homie.empty() || page == scene.outlets.page.grains.end()) continue;
    // The first mass that it names, whatever is said before.
    const std::size_t unit = page->second.find(" g");
    const std::size_t digit = page->second.find_first_of("0123456789");
    if (unit == std::string::npos || digit > unit) continue;
    if (std::abs(std::stod(page->second.substr(digit)) - std::stod(homie)) > 0.56) {
      found.push_back({"culture-" + culture, "Homie: " + homie + " g", "page: " + page->second});
    }
  }
  return found;
}

// What a batch is made of, and what is computed of it.
Contradictions explained(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, answer] : scene.outlets.explained) {
    const auto differs = [&](const char* field, const char* below, double by) {
      const std::string homie = scene.outlets.of_jar(id, below);
      const nlohmann::json& value = answer.at(field);
      if (value.is_null() && homie.empty()) return;
      if (!value.is_null() && !homie.empty() &&
          std::abs(value.get<double>() - std::stod(homie)) <= by) {
        return;
      }
      found.push_back({"jar-" + id + " " + below, "Homie: " + homie,
                       std::string("explain ") + field + ": " + value.dump()});
    };
    differs("ph", "batch/ph", 0.031);
    differs("milk_c", "batch/milk-temperature", 0.81);
    const std::string opens = scene.outlets.of_jar(id, "batch/peak-opens");
    const nlohmann::json& told = answer.at("peak_opens").at("p50");
    const bool both = !told.is_null() && !opens.empty();
    if (told.is_null() != opens.empty() ||
        (both && std::abs(ms_of(told) - ms_of(opens)) > 3 * minute)) {
      found.push_back({"jar-" + id + " opens", "Homie: " + opens, "explain: " + told.dump()});
    }
  }
  return found;
}

// A jar that is empty is empty everywhere, and has no values of what it once held.
Contradictions empty_jars(const Scene& scene) {
  Contradictions found;
  for (const Vessel* vessel : scene.kitchen.vessels()) {
    const std::string& id = vessel->id;
    if (!scene.memory.is_sure(id)) continue;
    const bool holds = scene.memory.in(id) != nullptr;
    const std::string stage = scene.outlets.stage(id);
    const bool wants_washing = !holds && stage == "suspect";  // after what it held
    if (holds == (stage == "empty") && !wants_washing) {
      found.push_back({"jar-" + id, holds ? "said: it holds something" : "said: it is empty",
                       "Homie: " + stage});
    }
    if (stage != "empty") continue;
    for (const char* below : {"batch/ph", "batch/started", "batch/lid", "batch/pressure",
                              "fridge/stored", "fridge/best-by", "batch/peak-opens"}) {
      const std::string value = scene.outlets.of_jar(id, below);
      if (!value.empty()) found.push_back({"jar-" + id, "Homie: empty", below + (": " + value)});
    }
  }
  return found;
}

// Lid, place and dates are what was said.
Contradictions what_was_said(const Scene& scene) {
  Contradictions found;
  for (const auto& [id, content] : scene.memory.all()) {
    const auto compare = [&, &id = id](const char* below, const std::string& said) {
      const std::string shown = scene.outlets.of_jar(id, below);
      if (shown == said) return;
      found.push_back({"jar-" + id + " " + below, "said: " + said, "Homie: " + shown});
    };
    compare("batch/lid", content.tight ? "tight" : "loose");
    compare("batch/place", content.place);
    const Ms started = ms_of(scene.outlets.of_jar(id, "batch/started"));
    if (std::abs(started - content.started) > 2000) {
      compare(
          "batch/started",
          test::rfc3339(std::chrono::sys_seconds{std::chrono::seconds{content.started / 1000}}));
    }
  }
  return found;
}

}  // namespace

const std::vector<Rule>& rules_of_agreement() {
  static const std::vector<Rule> rules{
      {"a jar has one stage", stages, true},
      {"a bottle has one best-by date and one last day", fridge_dates, true},
      {"an event's dates are those of its numbers", event_dates},
      {"every outlet lists the same bottles in the fridge", what_is_in_the_fridge, true},
      {"a bottle has one age", ages, true},
      {"a tile says what Homie says", tile_and_homie, true},
      {"the tile is the same on the bus and on the page", published_and_rendered_tiles, true},
      {"a culture has one mass", masses, true},
      {"an explanation says what Homie says", explained, true},
      {"an empty jar is empty everywhere", empty_jars, true},
      {"lid, place and start are what was said", what_was_said, true}};
  return rules;
}

}  // namespace wheymark::truth
