// What stands and wants somebody's eye, as long as it stands: an alert, not an event.
//
// The sentence of a condition does not change while it stands, so that nobody is told twice; no
// instant or number is in it.
#pragma once

#include <string>
#include <vector>

#include "core/household/grain_needs.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/plan.hpp"
#include "core/household/thermometer.hpp"

namespace wheymark {

struct Standing {
  std::string id;  // in the words of the event that began it: "peak-open"
  std::string text;
};

// What stands of a jar, of a place. Empty when all is well.
std::vector<Standing> standing(const PlannedJar& jar, const JarState& state);
std::vector<Standing> standing(const PlannedPlace& place, Trust thermometer);
// What stands of a place's warmth, of a culture's grains.
std::vector<Standing> standing_warmth(const PlannedPlace& place, const Household& household,
                                      Instant now);
std::vector<Standing> standing(const PlannedCulture& culture, GrainsState state);

}  // namespace wheymark
