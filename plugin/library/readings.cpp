#include "plugin/library/readings.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <span>

#include "core/air/agreement.hpp"
#include "core/basis/limits.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/temperature_text.hpp"

namespace wheymark {
namespace {

// All of these are our estimates.
constexpr int messages_of_a_burst = 10;  // a chatty device repeats itself less often
constexpr int messages_of_others_max = 20;
constexpr int messages_until_named = 8;
constexpr double doubt_of_a_message_k = 1.0;  // whose age nobody knows

// "{"/id":"shelf"} or {"/id":"hall"}", if something tells the two groups apart.
std::string match_of(const std::map<std::string, std::set<std::string>>& low,
                     const std::map<std::string, std::set<std::string>>& high) {
  const auto written = [](const std::string& pointer, const std::string& value) {
    return text_of(nlohmann::json{{pointer, value}});
  };
  for (const auto& [pointer, values] : high) {
    const auto others = low.find(pointer);
    const bool tells = others != low.end() && values.size() == 1 && others->second.size() == 1 &&
                       values != others->second;
    if (!tells) continue;
    return fmt::format(", such as {} or {}", written(pointer, *values.begin()),
                       written(pointer, *others->second.begin()));
  }
  return "";
}

}  // namespace

Readings::Readings(const Configuration& configuration, Household& household, Journal& journal,
                   Remarks& remarks)
    : configuration_(configuration), household_(household), journal_(journal), remarks_(remarks) {
  for (const PlaceSetup& place : configuration.setup.places) {
    const auto thermometers = configuration.thermometers.find(place.id);
    if (thermometers == configuration.thermometers.end()) continue;
    for (const ThermometerSetup& setup : thermometers->second) {
      reading_at_[setup.topic].push_back(sensors_.size());
      if (setup.availability)
        availability_at_[setup.availability->topic].push_back(sensors_.size());
      of_place_[place.id].push_back(sensors_.size());
      sensors_.push_back({place.id, &setup, Rhythm(place.silent_after), {}, {}, {}, false, 0});
    }
  }
}

void Readings::subscribe(const Host& host) const {
  // What was measured while nobody was there is of use if it says when: that waits at the broker.
  const auto says_when = [this](std::size_t i) { return sensors_[i].setup->instant_pointer; };
  for (const auto& [topic, sensors] : reading_at_) {
    host.subscribe(topic, std::any_of(sensors.begin(), sensors.end(), says_when) ? 1 : 0);
  }
  for (const auto& [topic, sensors] : availability_at_) {
    if (!reading_at_.contains(topic)) host.subscribe(topic, 0);
  }
}

bool Readings::are_about(std::string_view topic) const {
  return reading_at_.find(topic) != reading_at_.end() ||
         availability_at_.find(topic) != availability_at_.end();
}

void Readings::receive(std::string_view topic, std::string_view payload, bool retained,
                       Instant now) {
  if (const auto of = reading_at_.find(topic); of != reading_at_.end()) {
    for (const std::size_t i : of->second) receive(sensors_[i], payload, retained, now);
  }
  if (const auto of = availability_at_.find(topic); of != availability_at_.end()) {
    for (const std::size_t i : of->second) receive_availability(sensors_[i], payload, now);
  }
}

void Readings::receive(Sensor& sensor, std::string_view payload, bool retained, Instant now) {
  const ThermometerSetup& setup = *sensor.setup;
  const Heard heard = heard_in(payload, setup, configuration_.setup.utc_offset);
  if (std::holds_alternative<OfAnother>(heard)) {
    if (sensor.has_matched || ++sensor.of_others < messages_of_others_max) return;
    return say_not_understood(
        sensor, fmt::format("no message on {} matches: see {}/match", setup.topic, setup.where),
        now);
  }
  sensor.has_matched = true;
  if (const auto* wrong = std::get_if<NotUnderstood>(&heard)) {
    return say_not_understood(sensor, wrong->what, now);
  }
  if (const auto* none = std::get_if<SaidNothing>(&heard)) {
    household_.hear_away(sensor.place, none->text.empty() ? "nothing" : none->text);
    return remarks_.remark(WHEYMARK_NOTICE, setup.topic, "away",
                           fmt::format("{}: {} says {} and no temperature", sensor.place,
                                       setup.topic, shown_text(none->text)),
                           now);
  }
  take(sensor, payload, std::get<ReadingSaid>(heard), retained, now);
}

void Readings::receive_availability(const Sensor& sensor, std::string_view payload, Instant now) {
  const std::string_view said = trimmed_text(payload);
  if (said.empty()) return;  // nobody says anything any more
  const bool is_there = said == sensor.setup->availability->online;
  household_.hear_away(sensor.place, is_there ? "" : std::string(said.substr(0, 60)));
  if (is_there) return;
  remarks_.remark(WHEYMARK_NOTICE, sensor.setup->topic, "away",
                  fmt::format("{}: {} says {}", sensor.place, sensor.setup->availability->topic,
                              shown_text(said)),
                  now);
}

void Readings::say_not_understood(const Sensor& sensor, const std::string& what, Instant now) {
  household_.hear_nonsense(sensor.place, what, now);
  remarks_.remark(WHEYMARK_WARNING, sensor.setup->topic, "not understood",
                  fmt::format("{}: the thermometer speaks on {}, but {}", sensor.place,
                              sensor.setup->topic, what),
                  now);
}

void Readings::take(Sensor& sensor, std::string_view payload, const ReadingSaid& said,
                    bool retained, Instant now) {
  const std::string& topic = sensor.setup->topic;
  const PlaceId& place = sensor.place;
  if (!said.doubt.empty()) {
    remarks_.remark(WHEYMARK_NOTICE, topic, "instant", fmt::format("{}: {}", place, said.doubt),
                    now);
  }
  const bool is_sane =
      said.at && *said.at >= limits::sane_since && *said.at <= now + limits::ahead_of_clock_max;
  if (retained && !is_sane) {
    // Retained by the broker for an unknown time: it must not count as of now.
    return remarks_.remark(
        WHEYMARK_NOTICE, topic, "retained",
        fmt::format("{}: a retained reading without an instant is not used", place), now);
  }
  if (said.at && !is_sane) {
    remarks_.remark(WHEYMARK_NOTICE, topic, "instant",
                    fmt::format("{}: {} says that it is {:.0f} min later than it is; its reading "
                                "counts as of now",
                                place, topic, 60.0 * hours_between(now, *said.at)),
                    now);
  }
  if (!retained && is_two_in_one(sensor, payload, said.temperature, now)) return;

  const Instant at = is_sane ? *said.at : now;
  double doubt_k = said.doubt.empty() && (is_sane || !said.at) ? 0.0 : doubt_of_a_message_k;
  Celsius air = said.temperature;
  if (of_place_.at(place).size() > 1) {
    const Agreement agreement = agreed(sensor, air, at, now);
    air = agreement.air;
    doubt_k = std::max(doubt_k, agreement.doubt_k);
  }
  if (!said.at && household_.places().has_just_spoken(place, now)) {
    const auto before = waiting_.find(place);
    const int messages = before == waiting_.end() ? 1 : before->second.messages + 1;
    waiting_.insert_or_assign(place, Waiting{air, now, messages});
    return;
  }
  waiting_.erase(place);
  keep(place, air, at, doubt_k, !retained, now);
}

void Readings::keep(const PlaceId& place, Celsius air, Instant at, double doubt_k, bool is_fresh,
                    Instant now) {
  const auto entry = household_.decide(place, air, at, now, doubt_k);
  if (!entry) {
    return remarks_.remark(WHEYMARK_NOTICE, place.text(), "not used", entry.why(), now);
  }
  const Outcome kept =
      journal_.record_and_apply(std::span(&entry.value(), 1), {}, Durable::soon, now);
  if (!kept) return remarks_.remark(WHEYMARK_WARNING, place.text(), "not kept", kept.why(), now);
  if (is_fresh) household_.hear(place, now);
}

// --- bursts -------------------------------------------------------------------------------------

std::optional<Instant> Readings::next() const {
  std::optional<Instant> next;
  for (const auto& [place, waiting] : waiting_) {
    const Instant due = waiting.came + limits::reading_spacing_min;
    next = std::min(next.value_or(due), due);
  }
  return next;
}

void Readings::use_what_waits(Instant now) {
  for (auto it = waiting_.begin(); it != waiting_.end();) {
    const auto& [place, waiting] = *it;
    if (now >= waiting.came && now < waiting.came + limits::reading_spacing_min) {
      ++it;
      continue;
    }
    const TemperatureHistory* history = household_.places().history(place);
    const auto last = history == nullptr ? std::nullopt : history->last();
    if (!last || last->air != waiting.air) {
      const bool is_burst = waiting.messages >= messages_of_a_burst;
      keep(place, waiting.air, now, is_burst ? doubt_of_a_message_k : 0.0, true, now);
    }
    it = waiting_.erase(it);
  }
}

// --- several ------------------------------------------------------------------------------------

Agreement Readings::agreed(Sensor& sensor, Celsius air, Instant at, Instant now) {
  if (!sensor.last || at > sensor.last->at) sensor.last = Reading{at, air};
  sensor.rhythm.spoke(at);
  std::vector<Celsius> airs;
  std::vector<const Sensor*> counted;
  std::string at_odds;
  const auto add = [&](const Sensor& other, std::string_view what) {
    at_odds +=
        fmt::format("{}that on {} {}", at_odds.empty() ? "" : ", ", other.setup->topic, what);
    remarks_.remark(WHEYMARK_WARNING, other.setup->topic, what,
                    fmt::format("{}: of its thermometers, that on {} {}", other.place,
                                other.setup->topic, what),
                    now);
  };
  for (const std::size_t i : of_place_.at(sensor.place)) {
    const Sensor& other = sensors_[i];
    if (!other.last) continue;
    if (now - other.last->at >= other.rhythm.silent_after()) {
      add(other, "is silent");
      continue;
    }
    airs.push_back(other.last->air);
    counted.push_back(&other);
  }
  if (airs.empty()) return {air, 0.0, {}};
  const TemperatureHistory* history = household_.places().history(sensor.place);
  const auto last = history == nullptr ? std::nullopt : history->last();
  Agreement agreement = agreement_of(airs, last ? std::optional(last->air) : std::nullopt);
  for (const std::size_t i : agreement.apart) add(*counted[i], "does not agree with the others");
  household_.are_at_odds(sensor.place, at_odds);
  return agreement;
}

bool Readings::is_two_in_one(Sensor& sensor, std::string_view payload, Celsius air, Instant now) {
  // What no fridge, freezer or room has is a fault of one, not another one.
  constexpr double freezer_c_min = -40.0;
  if (air.degrees() >= freezer_c_min && air.degrees() <= limits::plausible_c_max) {
    sensor.groups.read(now, air);
  }
  const auto& groups = sensor.groups.groups();
  Names& names = sensor.names;
  if (!groups) {
    names = {};
    return false;
  }
  if (names.told.empty()) {
    auto& group = air.degrees() < groups->border_c ? names.low : names.high;
    for (auto& [pointer, value] : names_in(payload, *sensor.setup)) group[pointer].insert(value);
    if (++names.messages < messages_until_named) return true;
    names.told =
        fmt::format("two thermometers speak on {} in turn, of {:.1f} and {:.1f} °C: see {}/match{}",
                    sensor.setup->topic, groups->low.degrees(), groups->high.degrees(),
                    sensor.setup->where, match_of(names.low, names.high));
  }
  say_not_understood(sensor, names.told, now);
  return true;
}

}  // namespace wheymark
