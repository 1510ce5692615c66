// What the household calls its things: the setup's name, or the id of what has left the setup.
#pragma once

#include <cmath>
#include <fmt/format.h>
#include <string>

#include "core/record/setup.hpp"

namespace wheymark {

inline std::string name_of_jar(const JarId& id, const HouseholdSetup& setup) {
  const JarSetup* jar = setup.jar(id);
  return jar == nullptr ? "Jar " + id.text() : jar->name;
}

inline std::string name_of_culture(const CultureId& id, const HouseholdSetup& setup) {
  const CultureSetup* culture = setup.culture(id);
  return culture == nullptr ? id.text() : culture->name;
}

inline std::string name_of_place(const PlaceId& id, const HouseholdSetup& setup) {
  const PlaceSetup* place = setup.place(id);
  return place == nullptr ? id.text() : place->name;
}

// As a kitchen scale shows it: "21.5 g", "120 g".
inline std::string grams_text(double grain_g) {
  const double shown = grain_g < 99.95 ? std::round(10.0 * grain_g) / 10.0 : std::round(grain_g);
  return fmt::format("{:g} g", shown);
}

}  // namespace wheymark
