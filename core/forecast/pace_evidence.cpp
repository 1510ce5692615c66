#include "core/forecast/pace_evidence.hpp"

#include <algorithm>

namespace wheymark {
namespace {

// Our estimate.
constexpr double mistaken_share = 0.02;

}  // namespace

void PaceEvidence::multiply(const Likelihoods& by_course) {
  double most = 0.0;
  for (const auto& over_paces : by_course) {
    most = std::max(most, *std::max_element(over_paces.begin(), over_paces.end()));
  }
  if (!(most > 0.0)) return;
  auto after = std::make_shared<Likelihoods>();
  if (likelihood_ == nullptr) {
    after->fill(pace_grid::all(1.0));
  } else {
    *after = *likelihood_;
  }
  double most_now = 0.0;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      double& one = (*after)[c][i];
      one *= mistaken_share + (1.0 - mistaken_share) * by_course[c][i] / most;
      most_now = std::max(most_now, one);
    }
  }
  // A long row of reports must not fade to nothing.
  for (auto& over_paces : *after) {
    for (double& one : over_paces) one /= most_now;
  }
  likelihood_ = std::move(after);
}

PaceEvidence PaceEvidence::moved(double log_shift, double log_sd) const {
  if (!says_something()) return *this;
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  auto likelihood = std::make_shared<Likelihoods>(*likelihood_);
  for (auto& over_paces : *likelihood) {
    over_paces = pace_grid::blurred(pace_grid::moved(over_paces, log_shift), blur);
  }
  PaceEvidence other;
  other.likelihood_ = std::move(likelihood);
  return other;
}

}  // namespace wheymark
