#include "core/record/setup.hpp"

#include <algorithm>

namespace wheymark {
const PlaceSetup* HouseholdSetup::first_fridge() const {
  const auto found = std::find_if(places.begin(), places.end(),
                                  [](const PlaceSetup& p) { return p.kind == PlaceKind::fridge; });
  return found == places.end() ? nullptr : &*found;
}

const JarSetup* usual_jar(const CultureId& culture, const HouseholdSetup& setup) {
  const JarSetup* any = nullptr;
  for (const JarSetup& jar : setup.jars) {
    if (jar.culture == culture) return &jar;
    const PlaceSetup* place = setup.place(jar.place);
    const bool in_room = place != nullptr && place->kind == PlaceKind::room;
    if (any == nullptr && !jar.culture && in_room) any = &jar;
  }
  return any;
}

UsualBatch as_set_up(UsualBatch batch, const CultureId& culture, const HouseholdSetup& setup,
                     const Parameters& parameters) {
  const JarSetup* jar = usual_jar(culture, setup);
  const CultureSetup* known = setup.culture(culture);
  if (!batch.grain_g && jar != nullptr) batch.grain_g = jar->grain_g;
  if (!batch.grain_g) batch.grain_g = known == nullptr ? CultureSetup{}.grain_g : known->grain_g;
  if (!batch.milk_ml && jar != nullptr) batch.milk_ml = jar->milk_ml;
  if (!batch.milk_ml) batch.milk_ml = milk_ml_for(*batch.grain_g);
  if (!batch.milk_c) batch.milk_c = parameters.milk_from_fridge_c;
  return batch;
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
