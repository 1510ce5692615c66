#include "core/forecast/pace.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// Our estimate: kitchens make the reference course, laboratories and other milks often a shorter
// one.
constexpr std::array<double, courses.size()> before_anything{0.12, 0.18, 0.25, 0.28, 0.17};

}  // namespace

std::array<double, courses.size()> course_prior() {
  return before_anything;
}

PaceBelief PaceBelief::prior(double median, double log_sd) {
  check(median > 0.0 && log_sd > 0.0, "a prior of the pace has a positive median and spread");
  const auto by_course = course_prior();
  PaceBelief belief;
  for (std::size_t c = 0; c < by_course.size(); ++c) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      const double z = (pace_grid::log_pace_at(i) - std::log(median)) / log_sd;
      belief.weight_[c][i] = by_course[c] * std::exp(-0.5 * z * z);
    }
  }
  belief.normalise();
  return belief;
}

PaceBelief PaceBelief::weighted(const std::array<pace_grid::OverPaces, courses.size()>& weights) {
  PaceBelief belief;
  belief.weight_ = weights;
  belief.normalise();
  return belief;
}

PaceBelief PaceBelief::given(const PaceEvidence& evidence) const {
  PaceBelief after = *this;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    const pace_grid::OverPaces& likelihood = evidence.likelihood(c);
    for (std::size_t i = 0; i < pace_grid::size; ++i) after.weight_[c][i] *= likelihood[i];
  }
  after.normalise();
  return after;
}

void PaceBelief::normalise() {
  double total = 0.0;
  for (const auto& over_paces : weight_) {
    for (const double weight : over_paces) total += weight;
  }
  check(total > 0.0, "a belief holds something possible");
  for (auto& over_paces : weight_) {
    for (double& weight : over_paces) weight /= total;
  }
  median_ = quantile(0.5);
}

pace_grid::OverPaces PaceBelief::over_paces() const {
  pace_grid::OverPaces sum = weight_[0];
  for (std::size_t c = 1; c < courses.size(); ++c) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) sum[i] += weight_[c][i];
  }
  return sum;
}

pace_grid::OverPaces PaceBelief::over_paces_to(double log_ratio, double log_sd) const {
  pace_grid::OverPaces sum{};
  for (std::size_t c = 0; c < courses.size(); ++c) {
    // The reference ratio is fully in the milestone; what this course has less of it is gained.
    const double shift = (1.0 - courses[c]) * log_ratio / pace_grid::step;
    const double whole = std::floor(shift);
    const double share = shift - whole;
    const auto steps = static_cast<std::ptrdiff_t>(whole);
    constexpr auto size = static_cast<std::ptrdiff_t>(pace_grid::size);
    for (std::ptrdiff_t i = 0; i < size; ++i) {
      const double weight = weight_[c][static_cast<std::size_t>(i)];
      const auto at = [&](std::ptrdiff_t place) -> double& {
        return sum[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(place, 0, size - 1))];
      };
      at(i + steps) += (1.0 - share) * weight;
      at(i + steps + 1) += share * weight;
    }
  }
  return pace_grid::blurred(sum, pace_grid::normal_blur(log_sd));
}

PaceBelief PaceBelief::less_sure(double log_sd) const {
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  std::array<pace_grid::OverPaces, courses.size()> weights;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    weights[c] = pace_grid::blurred(weight_[c], blur);
  }
  return weighted(weights);
}

double PaceBelief::quantile(double share) const {
  check(share > 0.0 && share < 1.0, "a quantile is asked for between 0 and 1");
  // Each grid point stands for half a step to both sides; the share grows evenly within it.
  const pace_grid::OverPaces weights = over_paces();
  double below = 0.0;
  for (std::size_t i = 0; i < pace_grid::size; ++i) {
    if (below + weights[i] >= share) {
      const double inside = (share - below) / weights[i];
      return std::exp(pace_grid::log_pace_at(i) + pace_grid::step * (inside - 0.5));
    }
    below += weights[i];
  }
  return std::exp(pace_grid::log_pace_max);
}

double PaceBelief::mean_course() const {
  double mean = 0.0;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    for (const double weight : weight_[c]) mean += weight * courses[c];
  }
  return mean;
}

}  // namespace wheymark
