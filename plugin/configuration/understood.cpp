// The configuration in plain lines, to compare with what was meant.
#include <fmt/format.h>

#include "plugin/configuration/configuration.hpp"

namespace wheymark {
namespace {

std::string broker_line(const BrokerSetup& broker) {
  std::string line = fmt::format("broker: {} as client {}, MQTT {}", broker.url, broker.client_id,
                                 word(broker.protocol));
  if (!broker.user.empty()) line += ", user " + broker.user;
  if (!broker.password_file.empty()) line += ", password in " + broker.password_file;
  if (!broker.ca_file.empty()) line += ", trusts " + broker.ca_file;
  if (!broker.certificate_file.empty()) line += ", certificate " + broker.certificate_file;
  return line;
}

std::string_view degrees(TemperatureUnit unit) {
  switch (unit) {
    case TemperatureUnit::celsius:
      return "°C";
    case TemperatureUnit::fahrenheit:
      return "°F";
    case TemperatureUnit::kelvin:
      return "K";
  }
  return "?";
}

std::string thermometer_words(const ThermometerSetup& thermometer) {
  std::string line =
      fmt::format("thermometer in {} on {}", degrees(thermometer.unit), thermometer.topic);
  if (thermometer.pointer) line += fmt::format(" at \"{}\"", *thermometer.pointer);
  if (thermometer.instant_pointer)
    line += fmt::format(", measured at \"{}\"", *thermometer.instant_pointer);
  for (const auto& [pointer, value] : thermometer.match) {
    line += fmt::format(", where \"{}\" is {}", pointer, value);
  }
  if (thermometer.scale != 1.0) line += fmt::format(", times {}", thermometer.scale);
  if (thermometer.offset_k != 0.0) line += fmt::format(", {:+} K", thermometer.offset_k);
  if (thermometer.availability) {
    line += fmt::format(", there while {} says {}", thermometer.availability->topic,
                        thermometer.availability->online);
  }
  return line;
}

std::string place_line(const PlaceSetup& place, const Configuration& configuration) {
  std::string line = fmt::format("place {} ({}): {}", place.id, place.name, word(place.kind));
  const auto found = configuration.thermometers.find(place.id);
  if (found == configuration.thermometers.end()) return line + ", no thermometer";
  for (const ThermometerSetup& thermometer : found->second) {
    line += ", " + thermometer_words(thermometer);
  }
  if (!place.silent_after) return line + ", silent after longer than it ever was";
  return line + fmt::format(", silent after {} min", place.silent_after->count());
}

std::string culture_line(const CultureSetup& culture) {
  std::string line =
      fmt::format("culture {} ({}): {} g of grains", culture.id, culture.name, culture.grain_g);
  for (const UsualBatch& batch : culture.usual) {
    line += fmt::format(", usually {} h", batch.hours);
    if (batch.air_c) line += fmt::format(" at {} °C", *batch.air_c);
    if (batch.grain_g) line += fmt::format(" with {} g", *batch.grain_g);
    if (batch.milk_ml) line += fmt::format(" in {} ml", *batch.milk_ml);
    if (batch.milk_c) line += fmt::format(" of {} °C", *batch.milk_c);
  }
  return line;
}

std::string jar_line(const JarSetup& jar) {
  std::string line =
      fmt::format("jar {} ({}): {} ml, in {}", jar.id, jar.name, jar.capacity_ml, jar.place);
  if (jar.culture) line += fmt::format(", culture {}", *jar.culture);
  if (jar.grain_g) line += fmt::format(", {} g of grains", *jar.grain_g);
  if (jar.milk_ml) line += fmt::format(", {} ml of milk", *jar.milk_ml);
  if (jar.milk) line += fmt::format(", {}", word(*jar.milk));
  if (jar.treatment) line += fmt::format(", {}", word(*jar.treatment));
  if (jar.lid) line += fmt::format(", lid {}", word(*jar.lid));
  return line;
}

std::string notice_line(const LeadTimes& lead_times) {
  return fmt::format(
      "notice: {} h before the peak opens, {} h before it closes, {} d before best-by, {} d before "
      "the last day, after {} h of a tight lid",
      lead_times.peak_near_h, lead_times.peak_closing_h, lead_times.best_by_near_d,
      lead_times.last_day_near_d, lead_times.vent_after_h);
}

}  // namespace

std::vector<std::string> understood(const Configuration& configuration) {
  const HouseholdSetup& setup = configuration.setup;
  std::vector<std::string> lines{
      fmt::format("home: {}, time zone {}, awake from {:02}:{:02} until {:02}:{:02}",
                  setup.home_name, setup.time_zone, setup.waking.from.count() / 60,
                  setup.waking.from.count() % 60, setup.waking.until.count() / 60,
                  setup.waking.until.count() % 60),
      broker_line(configuration.broker), fmt::format("store: {}", configuration.store),
      fmt::format("topics: {}/5/{} for states, {} for the rest", configuration.homie_domain,
                  configuration.root_device, configuration.prefix)};
  if (configuration.presence) {
    lines.push_back(fmt::format("home: somebody is, when {} says {}", configuration.presence->topic,
                                configuration.presence->home));
  }
  if (configuration.tile_listen)
    lines.push_back("tile: http://" + *configuration.tile_listen + "/");
  for (const auto& place : setup.places) lines.push_back(place_line(place, configuration));
  for (const auto& culture : setup.cultures) lines.push_back(culture_line(culture));
  for (const auto& jar : setup.jars) lines.push_back(jar_line(jar));
  lines.push_back(notice_line(setup.lead_times));
  for (const Introduction& introduction : configuration.introductions) {
    lines.push_back("announced on " + introduction.topic);
  }
  return lines;
}

}  // namespace wheymark
