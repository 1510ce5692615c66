// The sentences about a place: too warm, too cold, and its thermometer.
#include <fmt/format.h>

#include "core/air/swapped_unit.hpp"
#include "core/announce/cautions.hpp"
#include "core/announce/describe.hpp"
#include "core/basis/check.hpp"
#include "core/household/household.hpp"
#include "core/household/stored_kefir.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

void describe_fridge(const Household& household, const PlaceSetup& place, const std::string& air,
                     Announcement& out, Instant now) {
  out.text = fmt::format(
      "{} is too warm{}, and for longer than an open door explains; 5 °C or less is usual. Look at "
      "its door, its setting and how full it is.",
      place.name, air);
  const std::vector<StoredKefir> bottles = inventory(household, place.id, now);
  if (!bottles.empty()) {
    out.text += fmt::format(" Of the kefir in it drink {} first; the dates are counted anew.",
                            name_of_jar(bottles.front().batch->jar(), household.setup()));
  }
  add_detail(out, "bottles", static_cast<double>(bottles.size()));
  out.caution = cautions::warm_fridge;
}

std::string what_to_look_at(const Thermometer& thermometer, const std::optional<Reading>& last) {
  if (thermometer.jumps_about()) return "Look at its battery and its place.";
  const auto known = last ? std::optional(last->air) : std::nullopt;
  if (const auto swapped = swapped_unit(thermometer.doubted_air(), known)) {
    return fmt::format(
        "Its numbers are probably in {}, which would be {:.1f} °C: look at its unit.",
        swapped->numbers_are_in, swapped->air.degrees());
  }
  return "Look at its unit and its place.";
}

}  // namespace

void describe_warmth(const Household& household, const PlaceSetup& place, Announcement& out,
                     Instant now) {
  const TemperatureHistory* history = household.places().history(place.id);
  const auto last = history == nullptr ? std::nullopt : history->last();
  const std::string air = last ? fmt::format(" ({:.1f} °C)", last->air.degrees()) : "";
  if (last) add_detail(out, "air_c", last->air.degrees());
  switch (out.kind) {
    case EventKind::fridge_too_warm:
      return describe_fridge(household, place, air, out, now);
    case EventKind::room_too_warm:
      out.text = fmt::format(
          "{} is very warm for grains{}: kefir separates fast and the grains suffer above 30 °C. "
          "Put the jar somewhere cooler, in a bowl of water, or use more milk, and look at it "
          "sooner.",
          place.name, air);
      out.caution = cautions::hot_room;
      return;
    case EventKind::room_too_cold:
      out.text = fmt::format(
          "{} is cold for grains{}: it will take long. Put the jar somewhere warmer, use less milk "
          "or start with milk that is not fridge-cold.",
          place.name, air);
      return;
    default:
      check(false, "a place tells of its warmth");
  }
}

void describe_thermometer(const Household& household, const PlaceSetup& place, Announcement& out) {
  const std::string& name = place.name;
  const TemperatureHistory* air = household.places().history(place.id);
  const auto last = air == nullptr ? std::nullopt : air->last();
  if (last) {
    out.details.push_back({"last_air_c", last->air.degrees()});
    out.details.push_back({"last_read", last->at});
  }
  const std::string last_word =
      last ? fmt::format("the last reading was {:.1f} °C at {}", last->air.degrees(),
                         day_and_clock_text(last->at, household.setup()))
           : "it has never been read";
  const Thermometer& thermometer = household.places().thermometer(place.id);
  const std::string& away = thermometer.away();
  switch (out.kind) {
    case EventKind::thermometer_silent:
      out.text = fmt::format(
          "{}: the thermometer is silent{}; {}. Forecasts go on with that, less and less surely: "
          "look at its battery and its {}.",
          name, away.empty() ? "" : fmt::format(", and its hub says \"{}\"", away), last_word,
          away.empty() ? "topic" : "connection");
      break;
    case EventKind::thermometer_not_understood:
      out.text = fmt::format(
          "{}: the thermometer speaks, but {} Until that is mended, {}, and forecasts go on with "
          "that, less and less surely.",
          name,
          as_sentence(thermometer.nonsense() ? thermometer.nonsense()->what
                                             : "nobody knows what it says"),
          last_word);
      break;
    case EventKind::thermometer_implausible:
      out.text = fmt::format("{}: the thermometer {}, so it is not believed; {}. {}", name,
                             thermometer.jumps_about() ? "jumps about" : "says what cannot be true",
                             last_word, what_to_look_at(thermometer, last));
      break;
    case EventKind::thermometer_stuck:
      out.text = fmt::format(
          "{}: the thermometer goes on repeating one value, which it never did for so long; {}. "
          "Forecasts go on with that, less surely: look whether it still measures, or its gateway "
          "only repeats.",
          name, last_word);
      break;
    case EventKind::thermometer_back:
      out.text = fmt::format("{}: the thermometer is back; {}.", name, last_word);
      break;
    default:
      check(false, "a place tells of its thermometer");
  }
}

}  // namespace wheymark
