// How fast this batch is, as a belief: a probability for each pace on a fixed grid.
//
// Pace 1 is the published reference culture; a culture of pace 2 needs half the time. Before
// anybody has reported anything the belief is the spread of published and kitchen cultures; after
// some batches it is what the culture has shown (culture_pace.hpp); the batch's own reports narrow
// it (pace_evidence.hpp).
#pragma once

#include <array>
#include <memory>

#include "core/forecast/pace_evidence.hpp"
#include "core/forecast/pace_grid.hpp"

namespace wheymark {

class PaceBelief {
 public:
  using Weights = std::array<pace_grid::OverPaces, courses.size()>;

  // Log-normal with this median and standard deviation of the logarithm (> 0).
  static PaceBelief prior(double median, double log_sd);
  // These weights for each course, on any common scale.
  static PaceBelief weighted(const Weights& weights);

  // What is believed after the evidence.
  [[nodiscard]] PaceBelief given(const PaceEvidence& evidence) const;
  // What is believed of one that is faster by so much ln(pace), known to within `log_sd`.
  [[nodiscard]] PaceBelief moved(double log_shift, double log_sd) const;

  // The same, less sure by a factor with this standard deviation of its logarithm.
  [[nodiscard]] PaceBelief less_sure(double log_sd) const;

  // The pace below which the belief holds this share (0 < share < 1).
  [[nodiscard]] double quantile(double share) const;
  [[nodiscard]] double median() const { return median_; }

  // The share of each pace, whatever the course; they add up to 1.
  [[nodiscard]] pace_grid::OverPaces over_paces() const;
  // The same for the pace at which another sign comes, as if it came with the reference course:
  // `log_ratio` is ln of its clock hours by the opening's, `log_sd` its own scatter.
  [[nodiscard]] pace_grid::OverPaces over_paces_to(double log_ratio, double log_sd) const;
  [[nodiscard]] double mean_course() const;

  friend bool operator==(const PaceBelief& a, const PaceBelief& b) {
    return a.weight_ == b.weight_ || *a.weight_ == *b.weight_;
  }

 private:
  // Normalises them.
  explicit PaceBelief(std::unique_ptr<Weights> weights);

  // Never changed once made, so that the copies of a belief, of which every jar has some, share it.
  std::shared_ptr<const Weights> weight_;
  double median_;
};

// What is believed of a household's course before it has shown anything.
std::array<double, courses.size()> course_prior();

}  // namespace wheymark
