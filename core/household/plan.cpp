#include "core/household/plan.hpp"

#include <algorithm>

namespace wheymark {
const PlannedPlace* Plan::first_fridge() const {
  const auto found = std::find_if(places.begin(), places.end(), [](const PlannedPlace& p) {
    return p.kind == PlaceKind::fridge;
  });
  return found == places.end() ? nullptr : &*found;
}

}  // namespace wheymark
