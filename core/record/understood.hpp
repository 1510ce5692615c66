// What a report was taken as, where its sender has not said all of it: so that it can be taken
// back.
#pragma once

#include <string>

#include "core/record/facts.hpp"
#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// A clause for the answer, "that makes 450 mL in Flask; 500 mL stay in Blue jar"; empty when there
// is nothing to add. `record` is what the report amounts to, `before` the jar book before it.
std::string understood(const Fact& said, const FactRecord& record, const JarBook& before,
                       const HouseholdSetup& setup);

// What was said, and when, to name it in a sentence: "sign (still-milk) of Blue jar, Mon 08:10".
std::string phrase_of(const FactRecord& record, const HouseholdSetup& setup);

}  // namespace wheymark
