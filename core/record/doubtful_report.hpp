// A report that does not go with what was reported before, or with its batch's own times.
//
// People err, and look again. What contradicts is kept, weighed like any other report, and
// mentioned; a report of an hour at which there was no batch is refused, with both times. What is
// hardly meant as it was said is asked about: refused at first, and believed when it is said again
// with "sure".
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/basis/result.hpp"
#include "core/record/facts.hpp"
#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// When it happened: `said_at`, else now. Refused in the future or older than limits::fact_age_max.
Result<Instant> happened_at(std::optional<Instant> said_at, Instant now,
                            const HouseholdSetup& setup);

// A sentence for the answer to a report that contradicts another one of the same batch; empty when
// it does not. `book` is as it was before the report.
std::string contradiction(const Fact& report, Instant at, const JarBook& book,
                          const HouseholdSetup& setup);

// For a sign or a pH of an instant before its jar's batch began, or after its grains came out.
Outcome within_its_batch(const Fact& report, Instant at, const JarBook& book,
                         const HouseholdSetup& setup);

// How to say again what was doubted; it stands after each doubt.
inline constexpr std::string_view how_to_be_sure =
    "if it is so, say it again with \"sure\": true and a new ref";

// Whether somebody who says this likely means it: the why of a doubt names what was said and what
// was to be expected. Each kind of doubt is one function in the source file. `record` is complete
// and allowed, `book` as it was at its instant.
Outcome doubted(const FactRecord& record, const JarBook& book, const HouseholdSetup& setup);

}  // namespace wheymark
