// What the household calls its things: the plan's name, or the id of what has left the plan.
#pragma once

#include <string>

#include "core/household/plan.hpp"

namespace wheymark {

inline std::string name_of_jar(const JarId& id, const Plan& plan) {
  const PlannedJar* jar = plan.jar(id);
  return jar == nullptr ? "Jar " + id : jar->name;
}

inline std::string name_of_culture(const CultureId& id, const Plan& plan) {
  const PlannedCulture* culture = plan.culture(id);
  return culture == nullptr ? id : culture->name;
}

inline std::string name_of_place(const PlaceId& id, const Plan& plan) {
  const PlannedPlace* place = plan.place(id);
  return place == nullptr ? id : place->name;
}

}  // namespace wheymark
