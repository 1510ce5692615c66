// What needs somebody's attention for as long as it lasts: an alert, not an event.
//
// The sentence of an alert does not change while it stands, so that nobody is told twice; it holds
// no instant or number.
#pragma once

#include <string>
#include <vector>

#include "core/air/thermometer.hpp"
#include "core/household/grain_needs.hpp"
#include "core/household/jar_state.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

struct Alert {
  std::string id;  // the word of the event that began it: "peak-open"
  std::string text;
};

// What may harm in a jar, whatever its stage: plain milk that stands warm, gas under its lid.
std::vector<Alert> harm_alerts(const JarSetup& jar, const JarState& state,
                               const Household& household, Instant now);

// The alerts of a jar, of a place. Empty when all is well.
std::vector<Alert> alerts_of(const JarSetup& jar, const JarState& state);
std::vector<Alert> alerts_of(const PlaceSetup& place, const Thermometer& thermometer, Instant now);
// Of a place's warmth, of a culture's grains.
std::vector<Alert> warmth_alerts(const PlaceSetup& place, const Household& household, Instant now);
std::vector<Alert> alerts_of(const CultureSetup& culture, GrainsState state);

}  // namespace wheymark
