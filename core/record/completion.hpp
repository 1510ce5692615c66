// From what a person said to a whole fact: what was left out comes from the plan, what is left over
// is refused with the value found and what is allowed.
#pragma once

#include "core/basis/result.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/facts.hpp"
#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// The fact with nothing left out, its names known to the plan and its numbers in range. `kitchen`
// is how things stood when it happened.
Result<Fact> completed(const Fact& said, const HouseholdSetup& setup, const JarBook& book,
                       const Parameters& parameters);

// When it happened: `said_at`, else now. Refused in the future or longer ago than anyone knows.
Result<Instant> happened_at(std::optional<Instant> said_at, Instant now,
                            const HouseholdSetup& setup);

}  // namespace wheymark
