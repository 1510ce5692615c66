#include "plugin/configuration/announce.hpp"

#include <array>
#include <fmt/format.h>
#include <set>

#include "plugin/wire/homie_household.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

// The values for a template, one set for each thing.
std::vector<Placeholders> fillings(Each each, const HouseholdSetup& setup,
                                   const HomieHousehold& homie) {
  std::vector<Placeholders> fillings;
  if (each == Each::jar) {
    for (const JarSetup& jar : setup.jars) fillings.push_back(homie.placeholders(jar));
  } else if (each == Each::culture) {
    for (const auto& culture : setup.cultures) fillings.push_back(homie.placeholders(culture));
  } else {
    for (const PlaceSetup& place : setup.places) fillings.push_back(homie.placeholders(place));
  }
  return fillings;
}

// Whether we publish something else on that topic ourselves.
bool is_taken(const std::string& topic, const Configuration& configuration) {
  const std::string homie = configuration.homie_domain + "/5/";
  if (topic.starts_with(homie)) return true;
  for (const char* own : {"/say", "/answer", "/events", "/tile"}) {
    const std::string root = configuration.prefix + own;
    if (topic == root || topic.starts_with(root + "/")) return true;
  }
  return false;
}

class Introducing {
 public:
  Introducing(Section& entry, Configuration& configuration, std::set<std::string>& topics,
              bool household_is_sound)
      : entry_(entry),
        configuration_(configuration),
        topics_(topics),
        household_is_sound_(household_is_sound) {}

  // False when it was complained about, once for all jars.
  bool fill(const std::string& topic, const nlohmann::json& payload, const Placeholders& filling) {
    const auto filled_topic = filled_in(topic, filling);
    if (!filled_topic) return complain("topic", "", filled_topic.why());
    nlohmann::json filled_payload = payload;
    if (const auto bad = fill_in(filled_payload, filling)) {
      return complain("payload", bad->pointer, bad->why);
    }
    return add(filled_topic.value(), filled_payload.is_string() ? filled_payload.get<std::string>()
                                                                : text_of(filled_payload));
  }

 private:
  bool add(std::string topic, std::string payload) {
    if (const auto allowed = topic_form(topic)) {
      return complain("topic", "",
                      fmt::format("becomes {}; allowed: {}", shown_text(topic), *allowed));
    }
    if (is_taken(topic, configuration_)) {
      return complain("topic", "",
                      fmt::format("becomes {}, on which we say something else; allowed: any other "
                                  "topic",
                                  shown_text(topic)));
    }
    if (!topics_.insert(topic).second && household_is_sound_) {
      return complain(
          "topic", "",
          fmt::format("becomes {} a second time; allowed: a topic with {{device.id}} or "
                      "another placeholder that tells devices apart",
                      shown_text(topic)));
    }
    configuration_.introductions.push_back({std::move(topic), std::move(payload)});
    return true;
  }

  bool complain(const char* key, const std::string& below, std::string sentence) {
    entry_.complain_below(key, below, std::move(sentence));
    return false;
  }

  Section& entry_;
  Configuration& configuration_;
  std::set<std::string>& topics_;
  bool household_is_sound_;
};

}  // namespace

void read_announce(Section& document, Configuration& configuration, bool household_is_sound) {
  const HomieHousehold homie(configuration);
  std::set<std::string> topics;
  for (auto& entry : document.sections("announce", Need::optional)) {
    const auto each = entry.word<Each>("each", Need::required);
    const auto topic = entry.text("topic", Need::required, topic_form);
    const nlohmann::json* const payload = entry.anything("payload", Need::required);
    entry.refuse_unknown_keys();
    if (!each || !topic || payload == nullptr) continue;
    Introducing introducing(entry, configuration, topics, household_is_sound);
    for (const Placeholders& filling : fillings(*each, configuration.setup, homie)) {
      if (!introducing.fill(*topic, *payload, filling)) break;
    }
  }
}

}  // namespace wheymark
