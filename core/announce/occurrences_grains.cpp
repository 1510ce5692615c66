// Occurrences of a culture's grains.
#include "core/announce/occurrence_ids.hpp"
#include "core/announce/occurrences.hpp"
#include "core/household/grain_needs.hpp"
#include "core/household/household.hpp"

namespace wheymark {

std::vector<Occurrence> occurrences_of(const CultureSetup& culture, const Household& household) {
  const Grains& grains = household.book().grains(culture.id);
  std::vector<Occurrence> occurrences;
  const auto add = [&](EventKind kind, Instant time, const FactRef& since) {
    occurrences.push_back(of_culture(culture.id, kind, time, since.at, since.fact));
  };
  if (const auto& seen = grains.inspected()) {
    if (must_be_discarded(seen->said)) {
      add(EventKind::discard_grains, seen->told.at, seen->told);
    } else if (grains.suspected()) {
      // Nothing is advised of them but to discard them.
    } else if (is_unbalanced(seen->said) || seen->said.sticky.value_or(false)) {
      add(EventKind::grains_advice, seen->told.at, seen->told);
    }
  }
  // Grains that must be discarded are neither fed nor counted.
  if (grains.suspected() || household.book().grain_g(culture) <= 0.0) return occurrences;
  for (const Hunger& some : hungers(culture, household)) {
    add(EventKind::grains_hungry, some.hungry, some.since);
  }
  if (const auto surplus = surplus_since(culture, household)) {
    add(EventKind::surplus_grains, surplus->at, {surplus->fact, surplus->at});
  }
  return occurrences;
}

}  // namespace wheymark
