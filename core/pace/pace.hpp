// How fast this batch is, as a belief: a probability for each pace on a fixed grid.
//
// Pace 1 is the published reference culture; a culture of pace 2 needs half the time. Before
// anybody has reported anything the belief is the spread of published and kitchen cultures; after
// some batches it is what the culture has shown (culture_pace.hpp); the batch's own reports narrow
// it (pace_evidence.hpp).
#pragma once

#include <array>
#include <memory>

#include "core/pace/pace_evidence.hpp"
#include "core/pace/pace_grid.hpp"
#include "core/pace/sign_spacing.hpp"

namespace wheymark {

class PaceBelief {
 public:
  // A weight for each pace, on any common scale: that of a spacing is its row's times its prior.
  using Weights = BySpacing<pace_grid::OverPaces>;

  explicit PaceBelief(Weights weights);
  // Log-normal with this median and standard deviation of the logarithm (> 0).
  static PaceBelief prior(double median, double log_sd);

  // What is believed after the evidence.
  [[nodiscard]] PaceBelief given(const PaceEvidence& evidence) const;
  // How likely the evidence is by what is believed: 1 where it is most likely whatever the pace.
  [[nodiscard]] double likelihood_of(const PaceEvidence& evidence) const;
  // What is believed of one that is faster by `log_shift` in ln(pace), known to within `log_sd`.
  [[nodiscard]] PaceBelief moved(double log_shift, double log_sd) const;

  // The same, less sure by a factor with this standard deviation of its logarithm.
  [[nodiscard]] PaceBelief less_sure(double log_sd) const;

  // The pace below which the belief holds this share (0 < share < 1).
  [[nodiscard]] double quantile(double share) const;
  [[nodiscard]] double median() const { return median_; }

  // The probability of each pace, whatever the spacing; they add up to 1.
  [[nodiscard]] const pace_grid::OverPaces& over_paces() const { return shares_->over_paces; }
  // The same for the pace at which the peak closes, as if it closed with the reference spacing:
  // `log_ratio` is ln of its clock hours by the opening's, `log_sd` its own scatter.
  [[nodiscard]] pace_grid::OverPaces over_paces_to_closing(double log_ratio, double log_sd) const;
  // For this spacing after the opening only; those of all add up to the above.
  [[nodiscard]] pace_grid::OverPaces over_paces_to_closing(double log_ratio, double log_sd,
                                                           std::size_t after) const;
  [[nodiscard]] SignSpacing mean_spacing() const { return shares_->mean_spacing; }

  friend bool operator==(const PaceBelief& a, const PaceBelief& b) {
    return a.shares_ == b.shares_ || a.shares_->weights == b.shares_->weights;
  }

 private:
  struct Shares {
    explicit Shares(Weights any_scale);

    Weights weights;  // those of all spacings add up to 1
    pace_grid::OverPaces over_paces{};
    std::array<pace_grid::OverPaces, spacings_after.size()> by_after{};
    SignSpacing mean_spacing{0.0, 0.0};
  };
  // Adds the paces of one spacing after the opening to `sum`, as over_paces_to_closing has them.
  void add_to_closing(pace_grid::OverPaces& sum, std::size_t after, double log_ratio) const;

  // Never changed once made, so that the copies of a belief, of which every jar has some, share it.
  std::shared_ptr<const Shares> shares_;
  double median_;
};

}  // namespace wheymark
