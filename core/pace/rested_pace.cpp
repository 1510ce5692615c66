#include "core/pace/rested_pace.hpp"

namespace wheymark {

PaceBelief believed_after_rest(const PaceBelief& awake, const RestedPace& rested) {
  return awake.moved(rested.log_shift, rested.log_sd);
}

// The scatter of resting blurs the evidence as it blurs the belief.
PaceEvidence said_of_awake(const PaceEvidence& reports, const RestedPace& rested) {
  return reports.moved(-rested.log_shift, rested.log_sd);
}

}  // namespace wheymark
