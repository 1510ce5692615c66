#include "core/household/standing.hpp"

#include "core/household/announcement.hpp"
#include "core/household/happenings.hpp"

namespace wheymark {
namespace {

Standing said(Happening kind, const std::string& name, std::string_view what) {
  return {std::string(word(kind)), name + ": " + std::string(what)};
}

}  // namespace

std::vector<Standing> standing(const PlannedJar& jar, const JarState& state) {
  if (state.batch == nullptr || !state.batch->fermenting()) return {};
  if (state.stage == Stage::peak) {
    return {said(Happening::peak_open, jar.name,
                 "the peak is open. Strain it, or cool it to hold it.")};
  }
  if (state.stage == Stage::over_fermented) {
    return {said(Happening::over_fermented, jar.name,
                 "over-fermented. Strain it now: the grains want fresh milk.")};
  }
  return {};
}

std::vector<Standing> standing(const PlannedPlace& place, Trust thermometer) {
  if (thermometer == Trust::silent) {
    return {said(Happening::thermometer_silent, place.name,
                 "the thermometer is silent. Look at its battery and its topic.")};
  }
  if (thermometer == Trust::implausible) {
    return {said(Happening::thermometer_implausible, place.name,
                 "the thermometer says what cannot be true. Look at its unit and its place.")};
  }
  if (thermometer == Trust::stuck) {
    return {said(Happening::thermometer_stuck, place.name,
                 "the thermometer goes on repeating one value. Look whether it is still there.")};
  }
  return {};
}

std::vector<Standing> standing_warmth(const PlannedPlace& place, const Household& household,
                                      Instant now) {
  std::vector<Standing> warmth;
  for (const Moment& moment : moments_of(place, household)) {
    if (moment.time > now) continue;
    if (moment.kind == Happening::fridge_too_warm) {
      warmth.push_back(
          said(moment.kind, place.name, "too warm. Look at its door and its setting."));
    } else if (moment.kind == Happening::room_too_warm) {
      warmth.push_back(said(moment.kind, place.name,
                            "very warm for grains. A cooler place or more milk helps."));
    } else if (moment.kind == Happening::room_too_cold) {
      warmth.push_back(
          said(moment.kind, place.name, "cold for grains. A warmer place or less milk helps."));
    }
  }
  return warmth;
}

std::vector<Standing> standing(const PlannedCulture& culture, GrainsState state) {
  if (state == GrainsState::suspect) {
    return {said(Happening::discard_grains, culture.name,
                 "seen with what grains never have. Discard them, do not taste.")};
  }
  if (state == GrainsState::hungry) {
    return {said(Happening::grains_hungry, culture.name, "the grains want fresh milk.")};
  }
  return {};
}

}  // namespace wheymark
