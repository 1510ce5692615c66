#include "core/forecast/pace.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

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
  auto weights = std::make_unique<Weights>();
  for (std::size_t c = 0; c < by_course.size(); ++c) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      const double z = (pace_grid::log_pace_at(i) - std::log(median)) / log_sd;
      (*weights)[c][i] = by_course[c] * std::exp(-0.5 * z * z);
    }
  }
  return PaceBelief(std::move(weights));
}

PaceBelief PaceBelief::weighted(const Weights& weights) {
  return PaceBelief(std::make_unique<Weights>(weights));
}

PaceBelief PaceBelief::given(const PaceEvidence& evidence) const {
  if (!evidence.says_something()) return *this;
  auto after = std::make_unique<Weights>(*weight_);
  for (std::size_t c = 0; c < courses.size(); ++c) {
    const pace_grid::OverPaces& likelihood = evidence.likelihood(c);
    for (std::size_t i = 0; i < pace_grid::size; ++i) (*after)[c][i] *= likelihood[i];
  }
  return PaceBelief(std::move(after));
}

PaceBelief PaceBelief::moved(double log_shift, double log_sd) const {
  auto after = std::make_unique<Weights>(*weight_);
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  for (auto& over_paces : *after) {
    over_paces = pace_grid::blurred(pace_grid::moved(over_paces, log_shift), blur);
  }
  return PaceBelief(std::move(after));
}

PaceBelief::PaceBelief(std::unique_ptr<Weights> weights) {
  double total = 0.0;
  for (const auto& over_paces : *weights) {
    for (const double weight : over_paces) total += weight;
  }
  check(total > 0.0, "a belief holds something possible");
  for (auto& over_paces : *weights) {
    for (double& weight : over_paces) weight /= total;
  }
  weight_ = std::move(weights);
  median_ = quantile(0.5);
}

pace_grid::OverPaces PaceBelief::over_paces() const {
  pace_grid::OverPaces sum = (*weight_)[0];
  for (std::size_t c = 1; c < courses.size(); ++c) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) sum[i] += (*weight_)[c][i];
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
      const double weight = (*weight_)[c][static_cast<std::size_t>(i)];
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
  Weights weights;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    weights[c] = pace_grid::blurred((*weight_)[c], blur);
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
    for (const double weight : (*weight_)[c]) mean += weight * courses[c];
  }
  return mean;
}

}  // namespace wheymark
