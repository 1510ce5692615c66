#include "core/forecast/pace_evidence.hpp"

#include <algorithm>

namespace wheymark {
namespace {

// Our estimate.
constexpr double mistaken_share = 0.02;

}  // namespace

void PaceEvidence::multiply(const ByCourse& by_course) {
  double most = 0.0;
  for (const auto& over_paces : by_course) {
    most = std::max(most, *std::max_element(over_paces.begin(), over_paces.end()));
  }
  if (!(most > 0.0)) return;
  ByCourse after;
  double most_now = 0.0;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    if (says_something()) {
      after[c] = pace_grid::taken_up(likelihood(c));
    } else {
      after[c].fill(1.0);
    }
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      double& one = after[c][i];
      one *= mistaken_share + (1.0 - mistaken_share) * by_course[c][i] / most;
      most_now = std::max(most_now, one);
    }
  }
  auto kept = std::make_shared<Likelihoods>();
  for (std::size_t c = 0; c < courses.size(); ++c) {
    // A long row of reports must not fade to nothing.
    for (double& one : after[c]) one /= most_now;
    const pace_grid::KeptOverPaces row = pace_grid::kept(after[c]);
    const auto same = std::find(kept->rows.begin(), kept->rows.end(), row);
    kept->row_of[c] = static_cast<std::uint8_t>(same - kept->rows.begin());
    if (same == kept->rows.end()) kept->rows.push_back(row);
  }
  kept->rows.shrink_to_fit();
  likelihoods_ = std::move(kept);
}

PaceEvidence PaceEvidence::moved(double log_shift, double log_sd) const {
  if (!says_something()) return *this;
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  auto likelihoods = std::make_shared<Likelihoods>(*likelihoods_);
  for (auto& row : likelihoods->rows) {
    const auto moved = pace_grid::moved(pace_grid::taken_up(row), log_shift);
    row = pace_grid::kept(pace_grid::blurred(moved, blur));
  }
  PaceEvidence other;
  other.likelihoods_ = std::move(likelihoods);
  return other;
}

}  // namespace wheymark
