#include "core/record/setup.hpp"

#include <algorithm>

namespace wheymark {
const PlaceSetup* HouseholdSetup::first_fridge() const {
  const auto found = std::find_if(places.begin(), places.end(),
                                  [](const PlaceSetup& p) { return p.kind == PlaceKind::fridge; });
  return found == places.end() ? nullptr : &*found;
}

std::unordered_map<CultureId, double> wanted_grains_g(const HouseholdSetup& setup) {
  std::unordered_map<CultureId, double> wanted_g;
  for (const JarSetup& jar : setup.jars) {
    if (!jar.culture) continue;
    const double by_milk_g = usual_grain_g_per_ml * jar.milk_ml.value_or(0.0);
    wanted_g[*jar.culture] += jar.grain_g.value_or(by_milk_g);
  }
  for (const CultureSetup& culture : setup.cultures) {
    double& of_it_g = wanted_g[culture.id];
    if (of_it_g <= 0.0) of_it_g = culture.grain_g;
  }
  return wanted_g;
}

}  // namespace wheymark
