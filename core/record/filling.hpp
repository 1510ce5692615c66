// How much kefir goes where, when somebody strains, fills a bottle or pours: from what was said,
// what there is, and what a bottle holds.
//
// Names and ranges were checked before. A jar that holds nothing of the kind is left alone: the jar
// book refuses that. Nothing here knows of what spills.
#pragma once

#include <optional>

#include "core/basis/result.hpp"
#include "core/record/facts.hpp"
#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Says how much was strained, and what of it went into each bottle: no more than it has room for.
Outcome share_out(Strain& strain, const JarBook& book, const HouseholdSetup& setup);

// Says how much was poured: a glass, unless told; all of it, where that is meant.
Outcome measure(Pour& pour, const JarBook& book, const HouseholdSetup& setup);

// The jar whose kefir was strained last into no bottle that was named.
std::optional<JarId> waits_for_a_bottle(const JarBook& book, const HouseholdSetup& setup);

// Says how much of that kefir went into the bottle that is stored.
Outcome fill(StoreAway& store, const JarBook& book, const HouseholdSetup& setup);

}  // namespace wheymark
