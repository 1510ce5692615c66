// Moments of a culture's grains.
#include "core/household/grain_needs.hpp"
#include "core/household/happenings.hpp"
#include "core/household/household.hpp"
#include "core/household/moment_ids.hpp"

namespace wheymark {

std::vector<Moment> moments_of(const PlannedCulture& culture, const Household& household) {
  const Grains& grains = household.kitchen().grains(culture.id);
  std::vector<Moment> moments;
  const auto add = [&](Happening kind, Instant time, const Told& since) {
    moments.push_back(of_culture(culture.id, kind, time, since.at, since.fact));
  };
  if (const auto& seen = grains.inspected()) {
    if (must_be_discarded(seen->said)) {
      add(Happening::discard_grains, seen->told.at, seen->told);
    } else if (is_unbalanced(seen->said) || seen->said.sticky.value_or(false)) {
      add(Happening::grains_advice, seen->told.at, seen->told);
    }
  }
  // Grains that must go are not fed, and not counted.
  if (grains.suspected() || household.kitchen().grain_g(culture) <= 0.0) return moments;
  if (const auto hungry = hunger(culture, household)) {
    add(Happening::grains_hungry, hungry->hungry, hungry->since);
  }
  if (const auto surplus = surplus_since(culture, household)) {
    add(Happening::surplus_grains, surplus->at, {surplus->fact, surplus->at});
  }
  return moments;
}

}  // namespace wheymark
