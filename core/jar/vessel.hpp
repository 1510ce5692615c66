// The jar or bottle that a batch stands in: how much it holds, and how slowly it follows the air.
#pragma once

#include <algorithm>

#include "core/kinetics/heat.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// mL; never less than the milk that is in it. A jar that has left the setup counts as brim-full.
inline double capacity_ml(const HouseholdSetup& setup, const JarId& id, double milk_ml) {
  const JarSetup* jar = setup.jar(id);
  return jar == nullptr ? milk_ml : std::max(jar->capacity_ml, milk_ml);
}

// Hours in which the milk comes 63 % closer to the air.
inline double time_constant_h(const HouseholdSetup& setup, const JarId& id, double milk_ml,
                              const Parameters& parameters) {
  return jar_time_constant_h(milk_ml, capacity_ml(setup, id, milk_ml), parameters);
}

}  // namespace wheymark
