#include "core/forecast/pace.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// Our estimates: kitchens make the reference course, laboratories and other milks often a shorter
// one; how long a peak lasts differs by a factor of four.
constexpr std::array<double, courses_before.size()> before_prior{0.12, 0.18, 0.25, 0.28, 0.17};
constexpr std::array<double, courses_after.size()> after_prior{0.35, 0.40, 0.25};

}  // namespace

std::array<double, courses.size()> course_prior() {
  std::array<double, courses.size()> prior{};
  for (std::size_t c = 0; c < courses.size(); ++c) {
    prior[c] = before_prior[c / courses_after.size()] * after_prior[c % courses_after.size()];
  }
  return prior;
}

PaceBelief PaceBelief::prior(double median, double log_sd) {
  check(median > 0.0 && log_sd > 0.0, "a prior of the pace has a positive median and spread");
  const auto by_course = course_prior();
  Weights weights;
  for (std::size_t c = 0; c < by_course.size(); ++c) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      const double z = (pace_grid::log_pace_at(i) - std::log(median)) / log_sd;
      weights[c][i] = by_course[c] * std::exp(-0.5 * z * z);
    }
  }
  return PaceBelief(weights);
}

PaceBelief PaceBelief::weighted(const Weights& weights) {
  return PaceBelief(weights);
}

PaceBelief PaceBelief::given(const PaceEvidence& evidence) const {
  if (!evidence.says_something()) return *this;
  Weights after = shares_->by_course;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    const pace_grid::KeptOverPaces& likelihood = evidence.likelihood(c);
    for (std::size_t i = 0; i < pace_grid::size; ++i) after[c][i] *= likelihood[i];
  }
  return PaceBelief(after);
}

PaceBelief PaceBelief::moved(double log_shift, double log_sd) const {
  Weights after = shares_->by_course;
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  for (auto& over_paces : after) {
    over_paces = pace_grid::blurred(pace_grid::moved(over_paces, log_shift), blur);
  }
  return PaceBelief(after);
}

PaceBelief::Shares::Shares(const Weights& weights) : by_course(weights) {
  double total = 0.0;
  for (const auto& paces : by_course) {
    for (const double weight : paces) total += weight;
  }
  check(total > 0.0, "a belief holds something possible");
  for (std::size_t c = 0; c < courses.size(); ++c) {
    pace_grid::OverPaces& of_this_after = by_after[c % courses_after.size()];
    double share = 0.0;
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      by_course[c][i] /= total;
      of_this_after[i] += by_course[c][i];
      over_paces[i] += by_course[c][i];
      share += by_course[c][i];
    }
    mean_course.before += share * courses[c].before;
    mean_course.after += share * courses[c].after;
  }
}

PaceBelief::PaceBelief(const Weights& weights)
    : shares_(std::make_shared<const Shares>(weights)), median_(quantile(0.5)) {}

void PaceBelief::add_to_closing(pace_grid::OverPaces& sum, std::size_t after,
                                double log_ratio) const {
  // The reference ratio is fully in the milestone; what this course has less of it is gained.
  const double shift = (1.0 - courses_after[after]) * log_ratio / pace_grid::step;
  const double whole = std::floor(shift);
  const double share = shift - whole;
  const auto steps = static_cast<std::ptrdiff_t>(whole);
  constexpr auto size = static_cast<std::ptrdiff_t>(pace_grid::size);
  for (std::ptrdiff_t i = 0; i < size; ++i) {
    const double weight = shares_->by_after[after][static_cast<std::size_t>(i)];
    const auto at = [&](std::ptrdiff_t place) -> double& {
      return sum[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(place, 0, size - 1))];
    };
    at(i + steps) += (1.0 - share) * weight;
    at(i + steps + 1) += share * weight;
  }
}

pace_grid::OverPaces PaceBelief::over_paces_to_closing(double log_ratio, double log_sd) const {
  pace_grid::OverPaces sum{};
  for (std::size_t a = 0; a < courses_after.size(); ++a) add_to_closing(sum, a, log_ratio);
  return pace_grid::blurred(sum, pace_grid::normal_blur(log_sd));
}

pace_grid::OverPaces PaceBelief::over_paces_to_closing(double log_ratio, double log_sd,
                                                       std::size_t after) const {
  pace_grid::OverPaces sum{};
  add_to_closing(sum, after, log_ratio);
  return pace_grid::blurred(sum, pace_grid::normal_blur(log_sd));
}

PaceBelief PaceBelief::less_sure(double log_sd) const {
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  Weights weights;
  for (std::size_t c = 0; c < courses.size(); ++c) {
    weights[c] = pace_grid::blurred(shares_->by_course[c], blur);
  }
  return weighted(weights);
}

double PaceBelief::quantile(double share) const {
  check(share > 0.0 && share < 1.0, "a quantile is asked for between 0 and 1");
  // Each grid point stands for half a step to both sides; the share grows evenly within it.
  const pace_grid::OverPaces& weights = over_paces();
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

}  // namespace wheymark
