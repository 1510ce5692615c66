// Has a culture become slower or faster than it was, or is that noise?
//
// A sequential test (Page's cumulative sum, both sides) of each batch's own pace against what the
// batches before make expected. Single batches count little: what is far off counts as so many
// standard deviations, and the sum only grows with what is beyond an allowance. A change is
// found when the sum passes its limit and the change is worth mentioning; then what came since the
// change is the new usual.
//
// Every culture answers to warmth a little otherwise than the reference, so the same grains look
// slower in a cold week and faster in a warm one. So what is expected is a line: a level, and a
// slope over the batch's warmth that is learned with it. Until it is known, a batch in another
// warmth than usual says less.
//
// [page1954] E. S. Page, Continuous inspection schemes, Biometrika 41 (1954) 100-115.
#pragma once

#include <cstdint>
#include <optional>
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
  // it. `log_warmth` is ln(the mean rate of its acid clock); without it, as warm as the last.
  void learn(std::uint64_t batch, Instant at, const PaceEvidence& evidence,
             std::optional<double> log_warmth, const CulturePace& pace);

  [[nodiscard]] const std::vector<PaceChange>& changes() const { return changes_; }

 private:
  static constexpr double slope_variance_before = 0.25 * 0.25;  // our estimate

  // What is expected of a batch's ln(pace), by its ln(warmth).
  class Expected {
   public:
    // From now on the level is that at this warmth.
    void look_from(double log_warmth);
    [[nodiscard]] bool known() const { return begun_; }
    [[nodiscard]] double log_pace() const { return level_; }
    [[nodiscard]] double variance() const { return level_variance_; }
    // At the warmth from which it is looked at.
    void learn(double log_pace, double variance);
    // The level is this one, whatever was learned of it; the slope stays.
    void begin_anew(double log_pace, double variance);

   private:
    bool begun_ = false;
    double log_warmth_ = 0.0;
    double level_ = 0.0;
    double slope_ = 0.0;
    double level_variance_ = 0.0;
    double slope_variance_ = slope_variance_before;
    double covariance_ = 0.0;
  };
  struct Shown {
    double log_pace;
    double log_warmth;
    double weight;
  };
  // What was expected when the test's sum was last 0, and the batches since, as one.
  struct Since {
    Expected before;
    Shown mean{0.0, 0.0, 0.0};
    void add(const Shown& batch);
  };
  // One side of the test: -1 for slower, +1 for faster.
  struct Side {
    double sum = 0.0;
    std::optional<Since> since = std::nullopt;
  };
  void look_at(Side& side, double sign, double z, const Shown& shown, std::uint64_t batch,
               Instant at);

  int batches_ = 0;
  Expected usual_;
  double log_warmth_ = 0.0;  // of the last batch
  Side slower_;
  Side faster_;
  std::vector<PaceChange> changes_;
};

}  // namespace wheymark
