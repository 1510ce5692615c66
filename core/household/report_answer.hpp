// What the answer to an accepted report adds: what was understood, and what follows from it.
//
// One phrase, or several, as they stand after "weigh is noted; ". Empty when the report speaks for
// itself.
#pragma once

#include <string>

#include "core/household/household.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

// `household` is as it was before the report.
std::string answer_to(const FactRecord& record, const Household& household);

}  // namespace wheymark
