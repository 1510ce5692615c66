// Moments of a place's warmth. A room matters while grains work in it; a fridge always.
#include <algorithm>

#include "core/household/happenings.hpp"
#include "core/household/household.hpp"
#include "core/household/moment_ids.hpp"

namespace wheymark {
namespace {

// Since when a batch with its grains has stood there; the first of several.
std::optional<Instant> grains_there_since(const PlannedPlace& place, const Household& household) {
  std::optional<Instant> since;
  for (const std::uint64_t number : household.have_stood_at(place.id)) {
    const Batch& batch = *household.kitchen().numbered(number);
    if (!batch.fermenting() || batch.place() != place.id) continue;
    const Instant came = batch.stays.back().from;
    since = since ? std::min(*since, came) : came;
  }
  return since;
}

}  // namespace

std::vector<Moment> moments_of(const PlannedPlace& place, const Household& household) {
  std::vector<Moment> moments;
  const auto warm = household.too_warm(place.id).since();
  if (place.kind == PlaceKind::fridge) {
    if (warm) moments.push_back(of_place(place.id, Happening::fridge_too_warm, *warm, warm));
    return moments;
  }
  const auto there = grains_there_since(place, household);
  if (!there) return moments;
  const auto add = [&](Happening kind, std::optional<Instant> since) {
    if (since) moments.push_back(of_place(place.id, kind, std::max(*since, *there), since));
  };
  add(Happening::room_too_warm, warm);
  add(Happening::room_too_cold, household.too_cold(place.id).since());
  return moments;
}

}  // namespace wheymark
