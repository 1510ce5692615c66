// How hard does the gas of a tightly closed batch press on its jar?
//
// Rough, as core/kinetics/gas.hpp says. All gas since the batch began is counted, also what formed
// while the lid was still loose: the milk holds much of that, and a pressure that is too high errs
// on the side of the glass. A jar that was vented since is therefore overestimated.
#pragma once

#include <optional>

#include "core/basis/units.hpp"
#include "core/household/batch.hpp"
#include "core/kinetics/condition.hpp"

namespace wheymark {

class Household;

// Above the air's, kPa. Nothing for a loose lid.
std::optional<double> lid_pressure_kpa(const Household& household, const Batch& batch,
                                       const Condition& condition);

}  // namespace wheymark
