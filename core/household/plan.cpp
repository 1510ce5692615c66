#include "core/household/plan.hpp"

#include <algorithm>

namespace wheymark {
namespace {

template <class Entry>
const Entry* entry_with(const std::vector<Entry>& entries, const std::string& id) {
  const auto found =
      std::find_if(entries.begin(), entries.end(), [&](const Entry& e) { return e.id == id; });
  return found == entries.end() ? nullptr : &*found;
}

}  // namespace

const PlannedPlace* Plan::place(const PlaceId& id) const {
  return entry_with(places, id);
}
const PlannedCulture* Plan::culture(const CultureId& id) const {
  return entry_with(cultures, id);
}
const PlannedJar* Plan::jar(const JarId& id) const {
  return entry_with(jars, id);
}

const PlannedPlace* Plan::first_fridge() const {
  const auto found = std::find_if(places.begin(), places.end(), [](const PlannedPlace& p) {
    return p.kind == PlaceKind::fridge;
  });
  return found == places.end() ? nullptr : &*found;
}

}  // namespace wheymark
