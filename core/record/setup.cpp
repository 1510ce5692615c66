#include "core/record/setup.hpp"

#include <algorithm>

namespace wheymark {
const PlaceSetup* HouseholdSetup::first_fridge() const {
  const auto found = std::find_if(places.begin(), places.end(),
                                  [](const PlaceSetup& p) { return p.kind == PlaceKind::fridge; });
  return found == places.end() ? nullptr : &*found;
}

}  // namespace wheymark
