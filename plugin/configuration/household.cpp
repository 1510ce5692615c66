#include "plugin/configuration/household.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <numbers>
#include <unordered_set>

#include "core/basis/limits.hpp"
#include "core/record/headspace.hpp"
#include "plugin/configuration/milk_word.hpp"
#include "plugin/configuration/nearest_word.hpp"
#include "plugin/configuration/time_zone.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

constexpr Range grain_range{limits::grain_g_min, limits::grain_g_max, "g"};
constexpr Range milk_range{limits::milk_ml_min, limits::milk_ml_max, "ml"};
constexpr Range capacity_range{limits::milk_ml_min, limits::capacity_ml_max, "ml"};
constexpr Range offset_range{-limits::offset_k_max, limits::offset_k_max, "K"};
constexpr Range silence_range{1.0, limits::silent_after_min_max, "min"};

// The ids of one kind of thing, in the order in which they were written.
class Ids {
 public:
  // `list` is where they are written. If it is no list, that has been complained about, and
  // references cannot be checked.
  Ids(std::string_view kind, const nlohmann::json* list)
      : kind_(kind), readable_(list != nullptr && list->is_array()) {}

  // The id of an entry, complained about when another entry of the kind has it.
  std::string read(Section& entry) {
    std::string id = entry.text("id", Need::required, id_form).value_or("");
    if (id.empty()) return id;
    if (!known_.insert(id).second) {
      entry.complain_found("id", fmt::format("an id that no other {} has", kind_));
    } else {
      in_order_.push_back(id);
    }
    return id;
  }

  // A reference to one of these, complained about when it leads nowhere.
  std::optional<std::string> refer(Section& entry, std::string_view key, Need need) const {
    auto id = entry.text(key, need, id_form);
    if (!id || !readable_ || known_.contains(*id)) return id;
    entry.complain_found(
        key, fmt::format("the id of a {} ({}){}", kind_, listed(), did_you_mean(*id, in_order_)));
    return std::nullopt;
  }

 private:
  [[nodiscard]] std::string listed() const {
    constexpr std::size_t listed_max = 12;
    if (in_order_.empty()) return "there is none";
    if (in_order_.size() <= listed_max) return fmt::format("{}", fmt::join(in_order_, ", "));
    return fmt::format("{}, and {} more",
                       fmt::join(in_order_.begin(), in_order_.begin() + listed_max, ", "),
                       in_order_.size() - listed_max);
  }

  std::string_view kind_;
  bool readable_;
  std::unordered_set<std::string> known_;
  std::vector<std::string> in_order_;
};

// `hour` must have hour_form.
std::chrono::minutes minute_of_day(const std::string& hour) {
  const auto digit = [&](std::size_t i) { return hour[i] - '0'; };
  return std::chrono::minutes{60 * (10 * digit(0) + digit(1)) + 10 * digit(3) + digit(4)};
}

// The window may cross midnight ("09:00" until "01:00").
void read_waking(Section entry, Waking& waking) {
  const auto read = [&entry](std::string_view key, std::chrono::minutes& into) {
    if (const auto hour = entry.text(key, Need::optional, hour_form)) into = minute_of_day(*hour);
  };
  read("from", waking.from);
  read("until", waking.until);
  entry.refuse_unknown_keys();
  constexpr std::chrono::minutes day{24 * 60};
  constexpr std::chrono::minutes awake_min{60};
  const std::chrono::minutes awake = (waking.until - waking.from + day) % day;
  if (awake >= awake_min) return;
  entry.complain("until", fmt::format("{:02}:{:02} is {} min after from; allowed: at least {} min",
                                      waking.until.count() / 60, waking.until.count() % 60,
                                      awake.count(), awake_min.count()));
}

PresenceSetup presence_in(Section entry, std::vector<ReadTopic>& topics) {
  PresenceSetup presence;
  presence.topic = entry.text("topic", Need::required, topic_form).value_or("");
  presence.pointer = entry.text("pointer", Need::optional, json_pointer_form);
  presence.home = entry.text("home", Need::optional, remark_form).value_or(presence.home);
  topics.push_back({entry.pointer_to("topic"), presence.topic});
  entry.refuse_unknown_keys();
  return presence;
}

void read_home(Section home, Configuration& configuration, std::vector<ReadTopic>& topics) {
  HouseholdSetup& setup = configuration.setup;
  setup.home_name = home.text("name", Need::required, name_form).value_or("");
  if (const auto zone = home.text("time_zone", Need::optional, time_zone_form)) {
    setup.time_zone = *zone;
    setup.utc_offset = utc_offset_in(*zone).value();
  }
  if (auto waking = home.section("waking", Need::optional)) read_waking(*waking, setup.waking);
  if (auto presence = home.section("presence", Need::optional)) {
    configuration.presence = presence_in(std::move(*presence), topics);
  }
  home.refuse_unknown_keys();
}

constexpr Range scale_range{1e-4, 1e4, ""};

std::vector<std::pair<std::string, std::string>> match_in(Section& entry) {
  std::vector<std::pair<std::string, std::string>> match;
  const nlohmann::json* const written = entry.anything("match", Need::optional);
  if (written == nullptr) return match;
  if (!written->is_object() || written->empty()) {
    entry.complain_found("match", "an object such as {\"/id\": \"kitchen\"}");
    return match;
  }
  for (const auto& [pointer, value] : written->items()) {
    if (pointer.empty() || pointer.front() != '/') {
      entry.complain_below("match", "/" + pointer_token(pointer),
                           fmt::format("found the key {}; allowed: a JSON Pointer such as /id",
                                       shown_text(pointer)));
    } else if (value.is_structured() || value.is_null()) {
      entry.complain_below(
          "match", "/" + pointer_token(pointer),
          fmt::format("found {}; allowed: a text, a number, true or false", shown(value)));
    } else {
      match.emplace_back(pointer, plain_text_of(value));
    }
  }
  return match;
}

AvailabilitySetup availability_in(Section entry, std::vector<ReadTopic>& topics) {
  AvailabilitySetup availability;
  availability.topic = entry.text("topic", Need::required, topic_form).value_or("");
  availability.online =
      entry.text("online", Need::optional, remark_form).value_or(availability.online);
  entry.refuse_unknown_keys();
  topics.push_back({entry.pointer_to("topic"), availability.topic});
  return availability;
}

ThermometerSetup thermometer_in(Section& entry, PlaceSetup& place, std::vector<ReadTopic>& topics) {
  ThermometerSetup thermometer;
  thermometer.where = entry.pointer();
  thermometer.topic = entry.text("topic", Need::required, topic_form).value_or("");
  thermometer.pointer = entry.text("pointer", Need::optional, json_pointer_form);
  thermometer.unit =
      entry.word<TemperatureUnit>("unit", Need::optional).value_or(TemperatureUnit::celsius);
  thermometer.instant_pointer = entry.text("instant_pointer", Need::optional, json_pointer_form);
  thermometer.offset_k = entry.number("offset_k", Need::optional, offset_range).value_or(0.0);
  thermometer.scale =
      entry.number("scale", Need::optional, scale_range).value_or(thermometer.scale);
  thermometer.match = match_in(entry);
  if (auto availability = entry.section("availability", Need::optional)) {
    thermometer.availability = availability_in(std::move(*availability), topics);
  }
  if (const auto silence = entry.whole_number("silent_after_min", Need::optional, silence_range)) {
    const std::chrono::minutes longest{*silence};
    place.silent_after = std::max(longest, place.silent_after.value_or(longest));
  }
  if (entry.has("instant_pointer") && !entry.has("pointer")) {
    entry.complain_found("instant_pointer",
                         "an instant_pointer only beside a pointer to the temperature");
  }
  entry.refuse_unknown_keys();
  topics.push_back({entry.pointer_to("topic"), thermometer.topic});
  return thermometer;
}

void read_place(Section entry, Ids& places, Configuration& configuration,
                std::vector<ReadTopic>& topics) {
  PlaceSetup place;
  place.id = PlaceId(places.read(entry));
  place.name = entry.text("name", Need::optional, name_form).value_or(place.id.text());
  place.kind = entry.word<PlaceKind>("kind", Need::required).value_or(PlaceKind::room);
  std::vector<ThermometerSetup> thermometers;
  if (auto one = entry.section("thermometer", Need::optional)) {
    thermometers.push_back(thermometer_in(*one, place, topics));
  }
  if (entry.has("thermometer") && entry.has("thermometers")) {
    entry.complain("thermometers", "found beside \"thermometer\"; allowed: one of the two keys");
  }
  for (auto& each : entry.sections("thermometers", Need::optional)) {
    thermometers.push_back(thermometer_in(each, place, topics));
  }
  if (thermometers.size() > limits::thermometers_max) {
    entry.complain("thermometers", fmt::format("found {}; allowed: at most {} in one place",
                                               thermometers.size(), limits::thermometers_max));
  }
  place.has_thermometer = !thermometers.empty();
  if (place.has_thermometer) configuration.thermometers.emplace(place.id, std::move(thermometers));
  entry.refuse_unknown_keys();
  configuration.setup.places.push_back(std::move(place));
}

UsualBatch usual_batch_in(Section& entry) {
  constexpr Range hours_range{limits::usual_h_min, limits::usual_h_max, "h"};
  constexpr Range air_range{limits::usual_air_c_min, limits::usual_air_c_max, "degC"};
  constexpr Range warmth_range{limits::milk_c_min, limits::milk_c_max, "degC"};
  UsualBatch batch{entry.number("hours", Need::required, hours_range).value_or(0.0)};
  batch.air_c = entry.number("air_c", Need::optional, air_range);
  batch.grain_g = entry.number("grain_g", Need::optional, grain_range);
  batch.milk_ml = entry.number("milk_ml", Need::optional, milk_range);
  batch.milk_c = entry.number("milk_c", Need::optional, warmth_range);
  if (batch.grain_g && batch.milk_ml && *batch.grain_g > limits::grain_share_max * *batch.milk_ml) {
    entry.complain_found("grain_g",
                         fmt::format("at most {} g in {} ml of milk",
                                     limits::grain_share_max * *batch.milk_ml, *batch.milk_ml));
  }
  entry.refuse_unknown_keys();
  return batch;
}

void read_culture(Section entry, Ids& cultures, HouseholdSetup& setup) {
  CultureSetup culture;
  culture.id = CultureId(cultures.read(entry));
  culture.name = entry.text("name", Need::optional, name_form).value_or(culture.id.text());
  culture.grain_g = entry.number("grain_g", Need::optional, grain_range).value_or(culture.grain_g);
  for (Section& batch : entry.sections("usual", Need::optional)) {
    culture.usual.push_back(usual_batch_in(batch));
  }
  if (culture.usual.size() > limits::usual_max) {
    entry.complain("usual", fmt::format("found {}; allowed: at most {} batches",
                                        culture.usual.size(), limits::usual_max));
  }
  entry.refuse_unknown_keys();
  setup.cultures.push_back(std::move(culture));
}

// Complains about numbers that are allowed each by itself and do not fit together.
void compare_amounts(Section& entry, const JarSetup& jar, Complaints& advice) {
  if (!jar.milk_ml) return;
  if (jar.grain_g && *jar.grain_g > limits::grain_share_max * *jar.milk_ml) {
    entry.complain_found("grain_g",
                         fmt::format("at most {} g in {} ml of milk",
                                     limits::grain_share_max * *jar.milk_ml, *jar.milk_ml));
  }
  if (jar.capacity_ml <= 0.0) return;  // the capacity could not be read
  if (*jar.milk_ml > jar.capacity_ml) {
    entry.complain_found("milk_ml", fmt::format("at most the jar's {} ml", jar.capacity_ml));
    return;
  }
  const double headspace = headspace_cm(*jar.milk_ml, jar.capacity_ml);
  if (headspace < headspace_cm_told_below) {
    advice.push_back({entry.pointer_to("milk_ml"),
                      fmt::format("{} ml in a jar of {} ml leave about {:.0f} cm of air; leave "
                                  "about {:.0f} cm, or it may foam over",
                                  *jar.milk_ml, jar.capacity_ml, headspace, headspace_cm_usual)});
  }
}

void read_jar(Section entry, Ids& jars, const Ids& places, const Ids& cultures,
              Configuration& configuration) {
  JarSetup jar;
  jar.id = JarId(jars.read(entry));
  jar.name = entry.text("name", Need::optional, name_form).value_or(jar.id.text());
  jar.capacity_ml = entry.number("capacity_ml", Need::required, capacity_range).value_or(0.0);
  jar.place = PlaceId(places.refer(entry, "place", Need::required).value_or(""));
  if (auto culture = cultures.refer(entry, "culture", Need::optional)) {
    jar.culture = CultureId(std::move(*culture));
  }
  jar.milk = milk_in(entry, "milk", Need::optional);
  jar.treatment = treatment_in(entry, "treatment", Need::optional);
  jar.milk_ml = entry.number("milk_ml", Need::optional, milk_range);
  jar.grain_g = entry.number("grain_g", Need::optional, grain_range);
  jar.lid = entry.word<Lid>("lid", Need::optional);
  entry.refuse_unknown_keys();

  compare_amounts(entry, jar, configuration.advice);
  if (jar.treatment == Treatment::ultra_pasteurised) {
    configuration.advice.push_back(
        {entry.pointer_to("treatment"),
         "grains work poorly in ultra-pasteurised milk; pasteurised milk "
         "suits them better"});
  }
  configuration.setup.jars.push_back(std::move(jar));
}

void read_notice(Section entry, LeadTimes& lead_times) {
  constexpr Range hours_before{0.0, limits::notice_h_max, "h"};
  constexpr Range days_before{0.0, limits::notice_d_max, "d"};
  constexpr Range hours_tight{1.0, limits::vent_after_h_max, "h"};
  const auto read = [&entry](std::string_view key, Range range, double& into) {
    into = entry.number(key, Need::optional, range).value_or(into);
  };
  read("peak_near_h", hours_before, lead_times.peak_near_h);
  read("peak_closing_h", hours_before, lead_times.peak_closing_h);
  read("best_by_near_d", days_before, lead_times.best_by_near_d);
  read("last_day_near_d", days_before, lead_times.last_day_near_d);
  read("vent_after_h", hours_tight, lead_times.vent_after_h);
  entry.refuse_unknown_keys();
}

}  // namespace

std::vector<ReadTopic> read_household(Section& document, Configuration& configuration) {
  std::vector<ReadTopic> topics;
  if (auto home = document.section("home", Need::required)) {
    read_home(*home, configuration, topics);
  }

  Ids places("place", document.anything("places", Need::optional));
  for (auto& entry : document.sections("places", Need::required)) {
    read_place(entry, places, configuration, topics);
  }
  Ids cultures("culture", document.anything("cultures", Need::optional));
  for (auto& entry : document.sections("cultures", Need::required)) {
    read_culture(entry, cultures, configuration.setup);
  }
  Ids jars("jar", document.anything("jars", Need::optional));
  for (auto& entry : document.sections("jars", Need::required)) {
    read_jar(entry, jars, places, cultures, configuration);
  }
  if (auto lead_times = document.section("notice", Need::optional)) {
    read_notice(*lead_times, configuration.setup.lead_times);
  }
  return topics;
}

}  // namespace wheymark
