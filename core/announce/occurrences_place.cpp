// Occurrences of a place's warmth. A room matters while grains work in it; a fridge always.
#include <algorithm>

#include "core/announce/occurrence_ids.hpp"
#include "core/announce/occurrences.hpp"
#include "core/household/household.hpp"

namespace wheymark {
namespace {

// Since when a batch with its grains has stood there; the first of several.
std::optional<Instant> grains_there_since(const PlaceSetup& place, const Household& household) {
  std::optional<Instant> since;
  for (const std::uint64_t number : household.have_stood_at(place.id)) {
    const Batch& batch = *household.book().numbered(number);
    if (!batch.fermenting() || batch.place() != place.id) continue;
    const Instant came = batch.stays.back().from;
    since = since ? std::min(*since, came) : came;
  }
  return since;
}

}  // namespace

std::vector<Occurrence> occurrences_of(const PlaceSetup& place, const Household& household) {
  std::vector<Occurrence> occurrences;
  const auto warm = household.places().air(place.id)->too_warm().since();
  if (place.kind == PlaceKind::fridge) {
    if (warm) occurrences.push_back(of_place(place.id, EventKind::fridge_too_warm, *warm, warm));
    return occurrences;
  }
  const auto there = grains_there_since(place, household);
  if (!there) return occurrences;
  const auto add = [&](EventKind kind, std::optional<Instant> since) {
    if (since) occurrences.push_back(of_place(place.id, kind, std::max(*since, *there), since));
  };
  // An excursion is over only after a day on the good side. After a jump both may still count: the
  // later one is what the room is now.
  const auto cold = household.places().air(place.id)->too_cold().since();
  if (warm && (!cold || *cold < *warm)) {
    add(EventKind::room_too_warm, warm);
  } else {
    add(EventKind::room_too_cold, cold);
  }
  return occurrences;
}

}  // namespace wheymark
