// How much slower is a batch whose grains have just come from a rest in the fridge?
//
// By common practice the first takes up to half as long again, two or three batches bring the
// grains back, and a day or two in the fridge is hardly a rest. The figures are our estimates, and
// wide: some cultures wake at once. The culture's own pace is its pace when awake, so what a slow
// first batch shows is corrected for the rest.
#pragma once

#include <algorithm>

#include "core/kinetics/parameters.hpp"
#include "core/pace/pace.hpp"
#include "core/pace/pace_evidence.hpp"

namespace wheymark {

inline constexpr int slow_batches_after_rest = 3;
inline constexpr double hardly_a_rest_h = 48.0;

// Where a batch stands after a rest.
struct AfterRest {
  int batch;  // since they woke, from 1
  double rested_h;
  friend bool operator==(const AfterRest&, const AfterRest&) = default;
};

// A batch's ln(pace) against that of its culture when awake.
struct RestedPace {
  double log_shift = 0.0;
  double log_sd = 0.0;
};

// Nothing from the fourth batch on; the whole of it only after a week's rest.
inline RestedPace rested_pace(const AfterRest& after,
                              const Parameters& parameters = default_parameters()) {
  const double left = std::max(0.0, 1.0 - (after.batch - 1.0) / slow_batches_after_rest) *
                      std::clamp(after.rested_h / parameters.whole_rest_h, 0.0, 1.0);
  return {left * parameters.rest_log_shift, left * parameters.rest_log_sd};
}

// What is believed of such a batch, from what is believed of one of awake grains.
PaceBelief believed_after_rest(const PaceBelief& awake, const RestedPace& rested);

// What such a batch's reports tell of the culture's pace when awake.
PaceEvidence said_of_awake(const PaceEvidence& reports, const RestedPace& rested);

}  // namespace wheymark
