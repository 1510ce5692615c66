// From a report to a whole fact: what was left out comes from the setup, what is wrong is refused
// with the value found and what is allowed.
#pragma once

#include "core/basis/result.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/facts.hpp"
#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// The fact with nothing left out, its names known to the setup and its numbers in range. `book` is
// the jar book as it was when the fact happened, `at`. Kefir that is moved to the fridge is stored,
// and taken when it is moved out of it; a store of an empty bottle is one of the kefir that waits
// for a bottle.
Result<Fact> completed(const Fact& said, const HouseholdSetup& setup, const JarBook& book,
                       const Parameters& parameters, Instant at);

}  // namespace wheymark
