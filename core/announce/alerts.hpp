// What stands and wants somebody's eye, as long as it stands: an alert, not an event.
//
// The sentence of a condition does not change while it stands, so that nobody is told twice; no
// instant or number is in it.
#pragma once

#include <string>
#include <vector>

#include "core/air/thermometer.hpp"
#include "core/household/grain_needs.hpp"
#include "core/household/jar_state.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

struct Alert {
  std::string id;  // in the words of the event that began it: "peak-open"
  std::string text;
};

// What stands of a jar, of a place. Empty when all is well.
std::vector<Alert> alerts_of(const JarSetup& jar, const JarState& state);
std::vector<Alert> alerts_of(const PlaceSetup& place, ThermometerStatus thermometer);
// What stands of a place's warmth, of a culture's grains.
std::vector<Alert> warmth_alerts(const PlaceSetup& place, const Household& household, Instant now);
std::vector<Alert> alerts_of(const CultureSetup& culture, GrainsState state);

}  // namespace wheymark
