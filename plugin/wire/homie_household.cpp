#include "plugin/wire/homie_household.hpp"

#include <algorithm>
#include <cmath>

#include "core/household/grain_needs.hpp"
#include "core/household/grain_sums.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/stored_kefir.hpp"
#include "plugin/wire/homie_device.hpp"
#include "plugin/wire/homie_stock.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/inventory_json.hpp"
#include "plugin/wire/number_text.hpp"
#include "plugin/wire/press.hpp"

namespace wheymark {
namespace {

// --- values as payloads -------------------------------------------------------------------------

std::string text(std::optional<Instant> instant) {
  // To the minute: a forecast is no better, and a hub's history stays short.
  return instant ? rfc3339(std::chrono::round<std::chrono::minutes>(*instant)) : "";
}
std::string exact(std::optional<Instant> instant) {
  return instant ? rfc3339(std::chrono::round<std::chrono::seconds>(*instant)) : "";
}
std::string text(std::optional<double> value, int digits) {
  return value ? decimal(*value, digits) : "";
}

// --- a jar --------------------------------------------------------------------------------------

struct JarView {
  const JarState& state;
  Instant now;

  [[nodiscard]] const Batch* batch() const { return state.batch; }
};

// `value` of the batch, or an empty payload for an empty jar.
template <class Value>
std::string of_batch(const JarView& jar, Value value) {
  return jar.batch() == nullptr ? std::string() : std::string(value(*jar.batch()));
}
// `value` of what is kept in the fridge, or was.
template <class Value>
std::string of_kept(const JarView& jar, Value value) {
  return jar.state.kept ? std::string(value(*jar.state.kept)) : std::string();
}

const std::vector<Property<JarView>>& jar_properties() {
  using V = const JarView&;
  using B = const Batch&;
  using K = const StoredKefir&;
  static const std::vector<Property<JarView>> properties{
      {{"batch", "stage", "Stage", "enum", "", enum_format(Vocabulary<Stage>::words)},
       [](V v) { return std::string(word(v.state.stage)); }},
      {{"batch", "progress", "Progress to the peak", "float", "%", "0:"},
       [](V v) { return text(v.state.progress_percent, 1); }},
      {{"batch", "peak-opens", "Peak opens", "datetime", "", ""},
       [](V v) { return text(v.state.forecast.peak_opens.p50); }},
      {{"batch", "peak-opens-earliest", "Peak opens at the earliest", "datetime", "", ""},
       [](V v) { return text(v.state.forecast.peak_opens.p10); }},
      {{"batch", "peak-opens-latest", "Peak opens at the latest", "datetime", "", ""},
       [](V v) { return text(v.state.forecast.peak_opens.p90); }},
      {{"batch", "peak-closes", "Peak closes", "datetime", "", ""},
       [](V v) { return text(v.state.forecast.peak_closes.p50); }},
      {{"batch", "peak-closes-earliest", "Peak closes at the earliest", "datetime", "", ""},
       [](V v) { return text(v.state.forecast.peak_closes.p10); }},
      {{"batch", "peak-closes-latest", "Peak closes at the latest", "datetime", "", ""},
       [](V v) { return text(v.state.forecast.peak_closes.p90); }},
      {{"batch", "hours-to-peak", "Hours to the peak", "float", "h", ""},
       [](V v) { return text(v.state.hours_to_peak, 1); }},
      {{"batch", "ph", "pH, estimated", "float", "pH", "0:14"},
       [](V v) { return text(v.state.ph, 2); }},
      {{"batch", "acidity", "Titratable acidity, estimated", "float", "%", "0:"},
       [](V v) { return text(v.state.acidity_percent, 2); }},
      {{"batch", "milk-temperature", "Milk temperature, estimated", "float", "°C", ""},
       [](V v) { return text(v.state.milk_c, 1); }},
      {{"batch", "started", "Started", "datetime", "", ""},
       [](V v) { return of_batch(v, [](B b) { return exact(b.started); }); }},
      {{"batch", "milk", "Milk", "enum", "", enum_format(Vocabulary<MilkKind>::words)},
       [](V v) { return of_batch(v, [](B b) { return word(*b.start.milk); }); }},
      {{"batch", "milk-volume", "Milk volume", "float", "mL", "0:"},
       [](V v) { return of_batch(v, [](B b) { return text(b.start.milk_ml, 0); }); }},
      {{"batch", "kefir-volume", "Kefir that is left", "float", "mL", "0:"},
       [](V v) { return text(v.state.kefir_ml, 0); }},
      {{"batch", "grain-mass", "Grain mass", "float", "g", "0:"},
       [](V v) { return of_batch(v, [](B b) { return text(b.start.grain_g, 1); }); }},
      {{"batch", "culture", "Culture", "string", "", ""},
       [](V v) { return of_batch(v, [](B b) { return b.start.culture->text(); }); }},
      {{"batch", "place", "Place", "string", "", ""},
       [](V v) { return of_batch(v, [](B b) { return b.place().text(); }); }},
      {{"batch", "lid", "Lid", "enum", "", enum_format(Vocabulary<Lid>::words)},
       [](V v) { return of_batch(v, [](B b) { return word(b.lid); }); }},
      {{"batch", "pressure", "Pressure under a tight lid, roughly", "float", "kPa", "0:"},
       [](V v) { return text(v.state.pressure_kpa, 0); }},
      {{"fridge", "stored", "In the fridge since", "datetime", "", ""},
       [](V v) { return of_kept(v, [](K k) { return exact(k.stored); }); }},
      {{"fridge", "age", "Age since it was stored", "float", "d", "0:"},
       [](V v) { return of_kept(v, [](K k) { return decimal(k.age_d, 1); }); }},
      {{"fridge", "effective-age", "Age as if at 4 °C", "float", "d", "0:"},
       [](V v) { return of_kept(v, [](K k) { return decimal(k.effective_age_d, 1); }); }},
      {{"fridge", "best-by", "Best by", "datetime", "", ""},
       [](V v) { return of_kept(v, [](K k) { return exact(k.best_by); }); }},
      {{"fridge", "last-day", "Last day", "datetime", "", ""},
       [](V v) { return of_kept(v, [](K k) { return exact(k.last_day); }); }},
  };
  return properties;
}

// A sentence for a dashboard; programs read the answer topic.
PropertyShape answer_shape(const char* name) {
  return {"care", "answer", name, "string", "", ""};
}

// Settable and not retained: they have no value of their own, only commands.
std::vector<PropertyShape> care_properties() {
  return {
      {"care", "step", "What was done", "enum", "", enum_format(Vocabulary<Step>::words), true,
       false},
      {"care", "sign", "What was seen", "enum", "", enum_format(Vocabulary<Sign>::words), true,
       false},
      {"care", "say", "Any fact about this jar", "json", "", "", true, false},
      answer_shape("The last answer about this jar"),
  };
}

// --- a culture ----------------------------------------------------------------------------------

struct CultureView {
  GrainSums grains;
  PaceBelief pace;
  std::optional<double> doubling_d;  // nothing while they rest, or do not grow
  double milk_ml;                    // that the grains out of jars suit
  GrainsState state;
  std::string split_from;

  // Nothing is advised of grains that must be discarded.
  [[nodiscard]] bool use_them() const { return state != GrainsState::suspect; }
};

CultureView culture_view(const Household& household, const CultureSetup& culture, Instant now) {
  const Grains& grains = household.book().grains(culture.id);
  const GrainSums sums =
      grain_sums(culture, household.book(), household.wanted_grain_g(culture.id));
  const double doubling_d = grains.doubling_d(culture.grain_g);
  const bool grows = !grains.resting() && std::isfinite(doubling_d);
  return {sums,
          household.paces().of(culture.id),
          grows ? std::optional(doubling_d) : std::nullopt,
          milk_ml_for(sums.all_g),
          grains_state(culture, household, now),
          grains.parent() ? grains.parent()->culture.text() : ""};
}

const std::vector<Property<CultureView>>& culture_properties() {
  using V = const CultureView&;
  static const std::vector<Property<CultureView>> properties{
      {{"grains", "mass", "Grain mass", "float", "g", "0:"},
       [](V v) { return decimal(v.grains.all_g, 1); }},
      {{"grains", "in-jars", "Grains in jars", "float", "g", "0:"},
       [](V v) { return decimal(v.grains.in_jars_g(), 1); }},
      {{"grains", "free", "Grains in no jar", "float", "g", "0:"},
       [](V v) { return decimal(v.grains.free_g, 1); }},
      {{"grains", "wanted", "Grains that the set-up asks for", "float", "g", "0:"},
       [](V v) { return decimal(v.grains.wanted_g, 1); }},
      {{"grains", "pace", "Pace against the reference culture", "float", "", "0:"},
       [](V v) { return decimal(v.pace.quantile(0.5), 2); }},
      {{"grains", "pace-low", "Pace at least (10 %)", "float", "", "0:"},
       [](V v) { return decimal(v.pace.quantile(0.1), 2); }},
      {{"grains", "pace-high", "Pace at most (90 %)", "float", "", "0:"},
       [](V v) { return decimal(v.pace.quantile(0.9), 2); }},
      {{"grains", "doubling-time", "Doubling time", "float", "d", "0:"},
       [](V v) { return text(v.doubling_d, 1); }},
      {{"grains", "surplus", "More than the jars want", "float", "g", "0:"},
       [](V v) { return v.use_them() ? decimal(v.grains.surplus_g(), 1) : ""; }},
      {{"grains", "milk", "Milk that all of them suit", "float", "mL", "0:"},
       [](V v) { return v.use_them() ? decimal(10.0 * std::round(v.milk_ml / 10.0), 0) : ""; }},
      {{"grains", "state", "State", "enum", "", enum_format(Vocabulary<GrainsState>::words)},
       [](V v) { return std::string(word(v.state)); }},
      {{"grains", "split-from", "Split from", "string", "", ""}, [](V v) { return v.split_from; }},
  };
  return properties;
}

// --- a place ------------------------------------------------------------------------------------

struct PlaceView {
  std::optional<Reading> last;
  ThermometerStatus status;
  std::string bottles;    // of a fridge
  std::string inventory;  // of a fridge
};

const std::vector<Property<PlaceView>>& place_properties() {
  using V = const PlaceView&;
  static const std::vector<Property<PlaceView>> properties{
      {{"air", "temperature", "Air temperature", "float", "°C", ""},
       [](V v) { return v.last ? decimal(v.last->air.degrees(), 1) : ""; }},
      {{"air", "thermometer", "Thermometer", "enum", "",
        enum_format(Vocabulary<ThermometerStatus>::words)},
       [](V v) { return std::string(word(v.status)); }},
  };
  return properties;
}

// Only a fridge has them.
const std::vector<Property<PlaceView>>& fridge_properties() {
  using V = const PlaceView&;
  static const std::vector<Property<PlaceView>> properties{
      {{"shelf", "bottles", "Bottles in it", "integer", "", "0:"}, [](V v) { return v.bottles; }},
      {{"shelf", "inventory", "What is in it, the oldest first", "json", "", ""},
       [](V v) { return v.inventory; }},
  };
  return properties;
}

// --- all of them --------------------------------------------------------------------------------

std::vector<PropertyShape> joined(std::vector<PropertyShape> a, std::vector<PropertyShape> b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

}  // namespace

HomieHousehold::HomieHousehold(const Configuration& configuration)
    : base_(configuration.homie_domain + "/5/"),
      prefix_(configuration.prefix),
      home_name_(configuration.setup.home_name),
      root_(configuration.root_device) {
  for (const JarSetup& jar : configuration.setup.jars) {
    jars_.insert(jar.id);
    children_.push_back(device_of_jar(jar.id));
  }
  for (const CultureSetup& culture : configuration.setup.cultures) {
    children_.push_back(device_of_culture(culture.id));
  }
  for (const PlaceSetup& place : configuration.setup.places) {
    children_.push_back(device_of_place(place.id));
  }
}

std::vector<HomieDevice> HomieHousehold::described(const Configuration& configuration) const {
  std::vector<HomieDevice> devices;
  const auto add_child = [&](const std::string& id, const std::string& name, std::string type,
                             std::vector<NodeShape> nodes, std::vector<PropertyShape> properties) {
    devices.push_back(
        {id, description(
                 {id, name, std::move(type), root_, {}, std::move(nodes), std::move(properties)})});
  };
  for (const JarSetup& jar : configuration.setup.jars) {
    add_child(device_of_jar(jar.id), jar.name, "kefir-jar",
              {{"batch", "Batch"}, {"fridge", "Fridge"}, {"care", "Care"}},
              joined(shapes_of(jar_properties()), care_properties()));
  }
  for (const CultureSetup& culture : configuration.setup.cultures) {
    add_child(device_of_culture(culture.id), culture.name, "kefir-culture", {{"grains", "Grains"}},
              shapes_of(culture_properties()));
  }
  for (const PlaceSetup& place : configuration.setup.places) {
    if (place.kind == PlaceKind::fridge) {
      add_child(device_of_place(place.id), place.name, "kefir-fridge",
                {{"air", "Air"}, {"shelf", "Shelf"}},
                joined(shapes_of(place_properties()), shapes_of(fridge_properties())));
    } else {
      add_child(device_of_place(place.id), place.name, "kefir-place", {{"air", "Air"}},
                shapes_of(place_properties()));
    }
  }
  devices.push_back({root_, description({root_,
                                         configuration.setup.home_name,
                                         "kefir-household",
                                         "",
                                         children_,
                                         {{"stock", "Stock"}, {"care", "Care"}},
                                         joined(shapes_of(stock_properties()),
                                                {answer_shape("The last answer to anything")})})});
  return devices;
}

std::string HomieHousehold::topic(const std::string& device, const std::string& below) const {
  return base_ + device + "/" + below;
}

std::vector<PropertyValue> HomieHousehold::jar_values(const JarState& state, Instant now) {
  return values_of(jar_properties(), JarView{state, now});
}

std::vector<PropertyValue> HomieHousehold::culture_values(const Household& household,
                                                          const CultureSetup& culture,
                                                          Instant now) {
  return values_of(culture_properties(), culture_view(household, culture, now));
}

std::vector<PropertyValue> HomieHousehold::place_values(const Household& household,
                                                        const PlaceSetup& place, Instant now) {
  const TemperatureHistory* air = household.places().history(place.id);
  PlaceView view{air == nullptr ? std::nullopt : air->last(),
                 household.places().thermometer(place.id).status(now), "", ""};
  if (place.kind != PlaceKind::fridge) return values_of(place_properties(), view);
  const std::vector<StoredKefir> bottles = inventory(household, place.id, now);
  view.bottles = std::to_string(bottles.size());
  view.inventory = inventory_json(bottles, household.setup());
  std::vector<PropertyValue> values = values_of(place_properties(), view);
  for (PropertyValue& value : values_of(fridge_properties(), view)) {
    values.push_back(std::move(value));
  }
  return values;
}

std::vector<PropertyValue> HomieHousehold::stock_values(const Stock& stock) {
  return values_of(stock_properties(), stock);
}

Placeholders HomieHousehold::placeholders_of(const std::string& device,
                                             const std::vector<PropertyShape>& properties) const {
  Placeholders known{{"home.name", home_name_},
                     {"device.id", device},
                     {"root.id", root_},
                     {"topic.state", topic(device, "$state")},
                     {"topic.root-state", topic(root_, "$state")},
                     {"topic.say", prefix_ + "/say"},
                     {"topic.answer", prefix_ + "/answer"},
                     {"topic.events", prefix_ + "/events/" + device}};
  for (const PropertyShape& property : properties) {
    const std::string name = std::string(property.node) + "." + std::string(property.id);
    const std::string below = std::string(property.node) + "/" + std::string(property.id);
    if (property.retained) known["topic." + name] = topic(device, below);
    if (property.settable) known["set." + name] = topic(device, below + "/set");
    known["name." + name] = property.name;
    if (!property.unit.empty()) known["unit." + name] = property.unit;
  }
  return known;
}

Placeholders HomieHousehold::placeholders(const JarSetup& jar) const {
  Placeholders known = placeholders_of(device_of_jar(jar.id),
                                       joined(shapes_of(jar_properties()), care_properties()));
  known["jar.id"] = jar.id.text();
  known["jar.name"] = jar.name;
  known["jar.place"] = jar.place.text();
  known["topic.tile"] = prefix_ + "/tile/" + device_of_jar(jar.id);
  return known;
}

Placeholders HomieHousehold::placeholders(const CultureSetup& culture) const {
  Placeholders known =
      placeholders_of(device_of_culture(culture.id), shapes_of(culture_properties()));
  known["culture.id"] = culture.id.text();
  known["culture.name"] = culture.name;
  return known;
}

Placeholders HomieHousehold::placeholders(const PlaceSetup& place) const {
  Placeholders known = placeholders_of(device_of_place(place.id), shapes_of(place_properties()));
  known["place.id"] = place.id.text();
  known["place.name"] = place.name;
  return known;
}

std::string HomieHousehold::set_filter() const {
  return base_ + "+/care/+/set";
}

std::optional<HomieHousehold::SetTopic> HomieHousehold::set_topic(std::string_view topic) const {
  const auto take_off_front = [&](std::string_view front) {
    if (!topic.starts_with(front)) return false;
    topic.remove_prefix(front.size());
    return true;
  };
  const auto up_to = [&](std::string_view border) {
    const std::size_t end = topic.find(border);
    const std::string_view front = topic.substr(0, end);
    topic.remove_prefix(end == std::string_view::npos ? topic.size() : end + border.size());
    return std::string(front);
  };
  if (!topic.ends_with("/set")) return std::nullopt;  // the property itself is ours to publish
  if (!take_off_front(base_) || !take_off_front("jar-")) return std::nullopt;
  const JarId jar(up_to("/care/"));
  const std::string property = up_to("/set");
  // Another household may live in the same domain: its commands are not ours to refuse.
  if (!jars_.contains(jar) || property.empty() || !topic.empty()) return std::nullopt;
  return SetTopic{jar, property};
}

}  // namespace wheymark
