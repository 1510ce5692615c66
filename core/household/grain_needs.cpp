#include "core/household/grain_needs.hpp"

#include <algorithm>

#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"

namespace wheymark {
namespace {

// When a batch over-fermented: seen, or by the forecast.
std::optional<Instant> peak_closed(const Batch& batch, const Household& household) {
  if (const auto seen = first_seen(batch, Sign::whey_layer)) return seen;
  const Fermentation* fermentation = household.fermentation(batch);
  if (fermentation == nullptr || !fermentation->forecast()) return std::nullopt;
  return fermentation->forecast()->peak_closes.p50;
}

// Since when a jar that works stands in the fridge. In the cold its grains hardly starve.
std::optional<Instant> cooled_since(const Batch& batch, const HouseholdSetup& setup) {
  const PlaceSetup* place = setup.place(batch.place());
  if (place == nullptr || place->kind != PlaceKind::fridge) return std::nullopt;
  return batch.stays.back().from;
}

}  // namespace

std::optional<MassPoint> surplus_since(const CultureSetup& culture, const Household& household) {
  const Grains& grains = household.book().grains(culture.id);
  const double wanted_g = household.wanted_grain_g(culture.id);
  std::optional<MassPoint> since;
  for (auto point = grains.masses().rbegin(); point != grains.masses().rend(); ++point) {
    const double grain_g = point->mass.grams(culture.grain_g);
    if (grain_g < surplus_ends_share * wanted_g) break;
    if (grain_g >= surplus_begins_share * wanted_g) since = *point;
  }
  return since;
}

std::vector<Hunger> hungers(const CultureSetup& culture, const Household& household) {
  const Grains& grains = household.book().grains(culture.id);
  if (const auto& resting = grains.resting()) {
    return {{resting->fed, after_hours(resting->fed.at, hungry_in_fridge_after_h),
             Hunger::Where::in_fridge}};
  }
  if (const auto& out = grains.out_of_milk()) {
    return {{*out, after_hours(out->at, hungry_after_h), Hunger::Where::without_milk}};
  }
  std::vector<Hunger> all;
  for (const Batch* batch : household.book().fermenting_of(culture.id)) {
    if (const auto since = cooled_since(*batch, household.setup())) {
      all.push_back({{batch->number, *since},
                     after_hours(*since, forgotten_in_fridge_after_h),
                     Hunger::Where::in_cooled_jar,
                     batch->jar()});
      continue;
    }
    const auto closed = peak_closed(*batch, household);
    if (!closed) continue;
    all.push_back({{batch->number, batch->started},
                   after_hours(*closed, hungry_after_h),
                   Hunger::Where::in_old_milk,
                   batch->jar()});
  }
  return all;
}

GrainsState grains_state(const CultureSetup& culture, const Household& household, Instant now) {
  const JarBook& book = household.book();
  const Grains& grains = book.grains(culture.id);
  if (grains.suspected()) return GrainsState::suspect;
  if (book.grain_g(culture) <= 0.0) return GrainsState::gone;
  for (const Hunger& some : hungers(culture, household)) {
    if (some.hungry <= now) return GrainsState::hungry;
  }
  if (grains.resting()) return GrainsState::resting;
  const bool waking = grains.after_rest().has_value();
  if (waking) return GrainsState::waking;
  return book.with_grains(culture.id) == nullptr ? GrainsState::idle : GrainsState::working;
}

}  // namespace wheymark
