// What do hours that people know from before say of a culture's pace?
//
// "It usually takes 22 hours" is rounded, remembered, and true of a room and a load that the next
// batch may not have: so it is evidence like any other, as wide as all of that together. Several
// that a household tells share what its memory is off by. When they contradict each other, each
// counts and all are wider by as much, so that batches soon show which was right.
#pragma once

#include <span>

#include "core/kinetics/parameters.hpp"
#include "core/pace/pace_evidence.hpp"

namespace wheymark {

// As a log-normal of the pace; `log_sd` > 0.
struct UsualShown {
  double log_pace;
  double log_sd;
};

// What several show together, at least one. With one, it is that one, wider by what is shared.
struct UsualTogether {
  double log_pace;
  double log_sd;
  bool contradict;  // further apart than their own spreads allow
};
UsualTogether together(std::span<const UsualShown> shown, const Parameters& parameters);

PaceEvidence evidence_of(const UsualTogether& usual);

}  // namespace wheymark
