#include "core/forecast/pace.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// The share of reports that are taken to be mistaken (the wrong jar, a slip of the finger):
// our estimate.
constexpr double mistaken_share = 0.02;

}  // namespace

double PaceBelief::pace_at(std::size_t i) {
  constexpr double step = 2.0 * log_pace_max / (grid_size - 1);
  return std::exp(-log_pace_max + step * static_cast<double>(i));
}

PaceBelief PaceBelief::prior(double median, double log_sd) {
  check(median > 0.0 && log_sd > 0.0, "a prior of the pace has a positive median and spread");
  PaceBelief belief;
  for (std::size_t i = 0; i < grid_size; ++i) {
    const double z = std::log(pace_at(i) / median) / log_sd;
    belief.weight_[i] = std::exp(-0.5 * z * z);
  }
  belief.normalise();
  return belief;
}

void PaceBelief::multiply(const std::array<double, grid_size>& likelihood) {
  const double most = *std::max_element(likelihood.begin(), likelihood.end());
  if (!(most > 0.0)) return;  // nothing explains the report: it says nothing about the pace
  for (std::size_t i = 0; i < grid_size; ++i) {
    weight_[i] *= mistaken_share + (1.0 - mistaken_share) * likelihood[i] / most;
  }
  normalise();
}

void PaceBelief::normalise() {
  const double total = std::accumulate(weight_.begin(), weight_.end(), 0.0);
  check(total > 0.0, "a belief holds something possible");
  for (double& weight : weight_) weight /= total;
}

double PaceBelief::quantile(double share) const {
  check(share > 0.0 && share < 1.0, "a quantile is asked for between 0 and 1");
  // Each grid point stands for half a step to both sides; the share grows evenly within it.
  constexpr double step = 2.0 * log_pace_max / (grid_size - 1);
  double below = 0.0;
  for (std::size_t i = 0; i < grid_size; ++i) {
    if (below + weight_[i] >= share) {
      const double inside = (share - below) / weight_[i];
      return pace_at(i) * std::exp(step * (inside - 0.5));
    }
    below += weight_[i];
  }
  return pace_at(grid_size - 1);
}

}  // namespace wheymark
