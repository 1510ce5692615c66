#include "core/household/standing.hpp"

#include "core/household/announcement.hpp"

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

}  // namespace wheymark
