// Has a culture become slower or faster than it was, or is that noise?
//
// A sequential test (Page's cumulative sum, both sides) of each batch's own pace against the mean
// of the batches before. Single batches count little: what is beyond three standard deviations
// counts as three, and the sum only grows with what is beyond half of one. A change is found when
// the sum passes its limit and the change is worth mentioning; then what came since the change is
// the new usual.
//
// [page1954] E. S. Page, Continuous inspection schemes, Biometrika 41 (1954) 100-115.
#pragma once

#include <cstdint>
#include <vector>

#include "core/basis/units.hpp"
#include "core/pace/culture_pace.hpp"
#include "core/pace/pace_evidence.hpp"

namespace wheymark {

// The culture's pace has changed: noticed at this batch's straining.
struct PaceChange {
  std::uint64_t batch;
  Instant at;
  double factor;  // new pace by old: below 1 is slower
};

class CultureHealth {
 public:
  // Learns from a batch, in the order in which grains came out; `pace` is what was believed before
  // it.
  void learn(std::uint64_t batch, Instant at, const PaceEvidence& evidence,
             const CulturePace& pace);

  [[nodiscard]] const std::vector<PaceChange>& changes() const { return changes_; }

 private:
  // A mean that gains certainty with every batch.
  struct Mean {
    double weight = 0.0;
    double log_pace = 0.0;
    void add(double value, double its_weight);
  };
  // One side of the test: -1 for slower, +1 for faster.
  struct Side {
    double sum = 0.0;
    Mean since;  // of the batches since the sum was last 0
  };
  void look_at(Side& side, double sign, double z, double log_pace, double weight,
               std::uint64_t batch, Instant at);

  int batches_ = 0;
  Mean usual_;
  Side slower_;
  Side faster_;
  std::vector<PaceChange> changes_;
};

}  // namespace wheymark
