// How much grain the jars want, how much is too much, and when grains are hungry.
//
// Common practice throughout: about 20 g to 950 mL of milk; fresh milk every day, or every week in
// the fridge; grains that outgrow their jars are given away, eaten, frozen or dried.
#pragma once

#include <optional>
#include <vector>

#include "core/basis/words.hpp"
#include "core/household/household.hpp"
#include "core/record/grains.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Out of milk, or in milk that is used up, for this long.
inline constexpr double hungry_after_h = 24.0;
inline constexpr double hungry_in_fridge_after_h = 7.0 * 24.0;
// A jar with its grains in it is cooled for a night or a weekend; after that it was likely
// forgotten (our estimate).
inline constexpr double forgotten_in_fridge_after_h = 4.0 * 24.0;
// Hysteresis: a surplus begins at half more than the jars want, and ends at a quarter more.
inline constexpr double surplus_begins_share = 1.5;
inline constexpr double surplus_ends_share = 1.25;

enum class GrainsState { working, waking, hungry, resting, idle, suspect, gone };

template <>
struct Vocabulary<GrainsState> {
  static constexpr std::array words{Word<GrainsState>{GrainsState::working, "working"},
                                    Word<GrainsState>{GrainsState::waking, "waking"},
                                    Word<GrainsState>{GrainsState::hungry, "hungry"},
                                    Word<GrainsState>{GrainsState::resting, "resting"},
                                    Word<GrainsState>{GrainsState::idle, "idle"},
                                    Word<GrainsState>{GrainsState::suspect, "suspect"},
                                    Word<GrainsState>{GrainsState::gone, "gone"}};
};

// Since when there are too many grains, if there are; with hysteresis over the known masses.
std::optional<MassPoint> surplus_since(const CultureSetup& culture, const Household& household);

// When grains will be hungry if nothing is done, or became so, and since which fact.
struct Hunger {
  FactRef since;
  Instant hungry;
  enum class Where { in_fridge, without_milk, in_old_milk, in_cooled_jar } where;
  std::optional<JarId> jar = std::nullopt;  // of those in a jar
};
// Of the grains at rest or out of milk, and of those in each jar that was cooled or whose peak's
// end is known: grains that starve in one jar are not fed by those in another.
std::vector<Hunger> hungers(const CultureSetup& culture, const Household& household);

GrainsState grains_state(const CultureSetup& culture, const Household& household, Instant now);

}  // namespace wheymark
