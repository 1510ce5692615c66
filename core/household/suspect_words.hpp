// The words for what nobody must taste, as every outlet says them: what was seen, what is affected,
// what to do. Common practice; nothing here says that anything else is safe.
#pragma once

#include <string>
#include <vector>

#include "core/record/jar_book.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// "pink was seen in the grains of Old Faithful Thu 4 Mar 08:10", "mould was seen in Swing-top 1
// ...".
std::string what_was_seen(const Suspicion& why, const HouseholdSetup& setup);

// "discard it with its grains, do not taste it, ...": a phrase, by what the jar holds; `batch` is
// null for an empty one.
std::string what_to_do(const Batch* batch);

// Both, as a sentence that begins with the jar's name.
std::string suspect_text(const JarId& jar, const Suspicion& why, const JarBook& book,
                         const HouseholdSetup& setup);

// What is still there of the kefir that became suspect by the same look, in the order of its
// straining: "Swing-top 1 (strained Tue 2 Mar 10:00)".
std::vector<std::string> affected_kefir(const Suspicion& why, const JarBook& book,
                                        const HouseholdSetup& setup);

}  // namespace wheymark
