#include "core/announce/alerts.hpp"

#include <fmt/format.h>

#include "core/announce/announcement.hpp"
#include "core/announce/describe.hpp"
#include "core/announce/occurrences.hpp"
#include "core/household/not_souring.hpp"

namespace wheymark {
namespace {

Alert said(EventKind kind, const std::string& name, std::string_view what) {
  return {std::string(word(kind)), name + ": " + std::string(what)};
}

}  // namespace

std::vector<Alert> alerts_of(const JarSetup& jar, const JarState& state) {
  if (state.suspicion != nullptr) {
    if (state.batch == nullptr) {
      return {said(EventKind::wash_jar, jar.name,
                   "it held what must not be tasted. Wash it with hot water before it is used.")};
    }
    return {state.batch->strained
                ? said(EventKind::discard_kefir, jar.name,
                       "suspect. Throw out what is in it, do not taste it, and wash it.")
                : said(EventKind::discard_grains, jar.name,
                       "suspect. Discard the milk with its grains, do not taste it, and wash it.")};
  }
  if (state.stage == Stage::second && state.batch->lid == Lid::tight) {
    return {said(EventKind::vent_lid, jar.name,
                 "its second fermentation presses on the lid. Open it daily and slowly.")};
  }
  if (state.batch == nullptr || !state.batch->fermenting()) return {};
  if (state.stage == Stage::peak) {
    return {said(EventKind::peak_open, jar.name,
                 "the peak is open. Strain it, or cool it to hold it.")};
  }
  if (state.stage == Stage::over_fermented) {
    return {said(EventKind::over_fermented, jar.name,
                 "over-fermented. Strain it now: the grains want fresh milk.")};
  }
  return {};
}

std::vector<Alert> harm_alerts(const JarSetup& jar, const JarState& state,
                               const Household& household, Instant now) {
  if (state.batch == nullptr) return {};
  std::vector<Alert> alerts;
  if (state.not_souring) {
    alerts.push_back(said(EventKind::not_souring, jar.name,
                          fmt::format("not sour after a day in the warm: {}.", plain_milk_text)));
  }
  if (state.left_out && state.left_out->too_long <= now) {
    alerts.push_back(said(EventKind::left_out, jar.name,
                          fmt::format("its kefir stands out of the fridge, longer than a day at "
                                      "room warmth: {}, and follow local food-safety advice.",
                                      state.left_out->what_to_do(now))));
  }
  const auto lid = lid_is_due(*state.batch, household);
  if (lid && *lid <= now) {
    alerts.push_back(said(EventKind::vent_lid, jar.name,
                          "tightly closed for long: gas may press, and glass can burst. Open it "
                          "slowly."));
  }
  return alerts;
}

std::vector<Alert> alerts_of(const PlaceSetup& place, const Thermometer& thermometer, Instant now) {
  std::vector<Alert> alerts;
  const auto add = [&](EventKind kind, const std::string& what) {
    alerts.push_back(said(kind, place.name, "the thermometer " + what));
  };
  switch (thermometer.status(now)) {
    case ThermometerStatus::good:
    case ThermometerStatus::none:
      break;
    case ThermometerStatus::silent:
      add(EventKind::thermometer_silent,
          thermometer.away().empty()
              ? "is silent. Look at its battery and its topic."
              : fmt::format("is silent, and its hub says \"{}\". Look at its battery and its "
                            "connection.",
                            thermometer.away()));
      break;
    case ThermometerStatus::not_understood:
      add(EventKind::thermometer_not_understood,
          "speaks, but " + as_sentence(thermometer.nonsense()->what));
      break;
    case ThermometerStatus::implausible:
      add(EventKind::thermometer_implausible,
          "says what cannot be true. Look at its unit and its place.");
      break;
    case ThermometerStatus::stuck:
      add(EventKind::thermometer_stuck,
          "goes on repeating one value. Look whether it is still there.");
  }
  if (!thermometer.at_odds().empty()) {
    alerts.push_back({"thermometers-at-odds", fmt::format("{}: of its thermometers, {}.",
                                                          place.name, thermometer.at_odds())});
  }
  return alerts;
}

std::vector<Alert> warmth_alerts(const PlaceSetup& place, const Household& household, Instant now) {
  std::vector<Alert> warmth;
  for (const Occurrence& occurrence : occurrences_of(place, household)) {
    if (occurrence.time > now) continue;
    if (occurrence.kind == EventKind::fridge_too_warm) {
      warmth.push_back(
          said(occurrence.kind, place.name, "too warm. Look at its door and its setting."));
    } else if (occurrence.kind == EventKind::room_too_warm) {
      warmth.push_back(said(occurrence.kind, place.name,
                            "very warm for grains. A cooler place or more milk helps."));
    } else if (occurrence.kind == EventKind::room_too_cold) {
      warmth.push_back(
          said(occurrence.kind, place.name, "cold for grains. A warmer place or less milk helps."));
    }
  }
  return warmth;
}

std::vector<Alert> alerts_of(const CultureSetup& culture, GrainsState state) {
  if (state == GrainsState::suspect) {
    return {said(EventKind::discard_grains, culture.name,
                 "seen with what grains never have. Discard them, do not taste.")};
  }
  if (state == GrainsState::hungry) {
    return {said(EventKind::grains_hungry, culture.name, "the grains want fresh milk.")};
  }
  return {};
}

}  // namespace wheymark
