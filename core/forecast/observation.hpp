// What a report about a batch says of its pace.
//
// A sign is a threshold that batches cross with a spread, and it was seen some time after it came:
// "set" says that the curd had set by then and that no whey pockets were there yet, no more. A pH
// says how far the acid was, to the error of a kitchen's meter or strip.
#pragma once

#include "core/forecast/pace.hpp"
#include "core/household/facts.hpp"
#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/kinetics/signs.hpp"

namespace wheymark {

// `clock_h` is the batch's acid clock (pace 1) at the instant of the report; > 0, or it is ignored.
void weigh_sign(PaceBelief& belief, Sign sign, double clock_h, const Milestones& milestones,
                const Parameters& parameters);
void weigh_ph(PaceBelief& belief, double ph, double clock_h, const AcidCurve& curve,
              const Parameters& parameters);

}  // namespace wheymark
