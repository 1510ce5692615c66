#include "core/forecast/culture_pace.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// Our estimates, all of them. The scatter is tried at these multiples of the parameter; a culture
// that lives in one kitchen scatters less than what is known of kefir in general.
constexpr std::array<double, 5> scatter_factors{0.30, 0.45, 0.65, 0.95, 1.40};
constexpr std::array<double, 5> scatter_prior{0.22, 0.30, 0.27, 0.14, 0.07};
// One batch in ten is an odd one and scatters three times as far.
constexpr double odd_share = 0.10;
constexpr double odd_factor = 3.0;
// 1 % after a day, 5 % after a month.
constexpr double drift_log_sd_a_day = 0.010;

pace_grid::Blur with_odd_batches(double log_sd) {
  pace_grid::Blur usual = pace_grid::normal_blur(log_sd);
  pace_grid::Blur blur = pace_grid::normal_blur(odd_factor * log_sd);
  usual.resize(std::max(usual.size(), blur.size()), 0.0);
  blur.resize(usual.size(), 0.0);
  for (std::size_t k = 0; k < blur.size(); ++k) {
    blur[k] = (1.0 - odd_share) * usual[k] + odd_share * blur[k];
  }
  return blur;
}

}  // namespace

CulturePace::CulturePace(const Parameters& parameters) {
  const auto course_shares = course_prior();
  auto scatter = std::make_shared<std::array<Scatter, scatters>>();
  auto weight = std::make_shared<OverCultures>();
  for (std::size_t s = 0; s < scatters; ++s) {
    const double log_sd = scatter_factors[s] * parameters.batch_to_batch_log_sd;
    (*scatter)[s] = {log_sd, with_odd_batches(log_sd)};
    for (std::size_t c = 0; c < course_shares.size(); ++c) {
      for (std::size_t i = 0; i < pace_grid::size; ++i) {
        const double z = (pace_grid::log_pace_at(i) - std::log(parameters.pace_prior_median)) /
                         parameters.pace_prior_log_sd;
        (*weight)[s][c][i] =
            static_cast<float>(scatter_prior[s] * course_shares[c] * std::exp(-0.5 * z * z));
      }
    }
  }
  normalise(*weight);
  scatter_ = std::move(scatter);
  weight_ = std::move(weight);
}

void CulturePace::normalise(OverCultures& weights) {
  double total = 0.0;
  for (const auto& by_course : weights) {
    for (const auto& over_paces : by_course) {
      for (const double weight : over_paces) total += weight;
    }
  }
  check(total > 0.0, "a belief about a culture holds something possible");
  for (auto& by_course : weights) {
    for (auto& over_paces : by_course) {
      for (float& weight : over_paces) weight = static_cast<float>(weight / total);
    }
  }
}

pace_grid::Blur CulturePace::drift_until(Instant at) const {
  if (!learned_at_ || at <= *learned_at_) return pace_grid::normal_blur(0.0);
  const double days = hours_between(*learned_at_, at) / 24.0;
  return pace_grid::normal_blur(drift_log_sd_a_day * std::sqrt(days));
}

void CulturePace::learn(const PaceEvidence& evidence, Instant at) {
  if (!evidence.says_something()) return;
  auto weight = std::make_shared<OverCultures>();
  const pace_grid::Blur drift = drift_until(at);
  const PaceEvidence::Likelihoods& shown = evidence.likelihoods();
  std::vector<pace_grid::OverPaces> of_culture(shown.rows.size());
  for (std::size_t s = 0; s < scatters; ++s) {
    for (std::size_t r = 0; r < shown.rows.size(); ++r) {
      of_culture[r] = pace_grid::blurred(pace_grid::taken_up(shown.rows[r]), (*scatter_)[s].blur);
    }
    for (std::size_t c = 0; c < courses.size(); ++c) {
      auto after = pace_grid::blurred(pace_grid::taken_up((*weight_)[s][c]), drift);
      const pace_grid::OverPaces& likelihood = of_culture[shown.row_of[c]];
      for (std::size_t i = 0; i < pace_grid::size; ++i) after[i] *= likelihood[i];
      (*weight)[s][c] = pace_grid::kept(after);
    }
  }
  normalise(*weight);
  weight_ = std::move(weight);
  learned_at_ = learned_at_ ? std::max(*learned_at_, at) : at;
  ++batches_;
}

PaceBelief CulturePace::of_a_batch(Instant at) const {
  const pace_grid::Blur drift = drift_until(at);
  PaceBelief::Weights of_batch{};
  for (std::size_t s = 0; s < scatters; ++s) {
    for (std::size_t c = 0; c < courses.size(); ++c) {
      const auto drifted = pace_grid::blurred(pace_grid::taken_up((*weight_)[s][c]), drift);
      const auto scattered = pace_grid::blurred(drifted, (*scatter_)[s].blur);
      for (std::size_t i = 0; i < pace_grid::size; ++i) of_batch[c][i] += scattered[i];
    }
  }
  return PaceBelief::weighted(of_batch);
}

PaceBelief CulturePace::of_the_culture() const {
  std::array<pace_grid::OverPaces, courses.size()> of_culture{};
  for (const auto& by_course : *weight_) {
    for (std::size_t c = 0; c < courses.size(); ++c) {
      for (std::size_t i = 0; i < pace_grid::size; ++i) of_culture[c][i] += by_course[c][i];
    }
  }
  return PaceBelief::weighted(of_culture);
}

std::array<double, courses.size()> CulturePace::course_shares() const {
  std::array<double, courses.size()> shares{};
  for (const auto& by_course : *weight_) {
    for (std::size_t c = 0; c < courses.size(); ++c) {
      for (const double weight : by_course[c]) shares[c] += weight;
    }
  }
  return shares;
}

double CulturePace::batch_to_batch_log_sd() const {
  double mean = 0.0;
  for (std::size_t s = 0; s < scatters; ++s) {
    for (const auto& over_paces : (*weight_)[s]) {
      for (const double weight : over_paces) mean += weight * (*scatter_)[s].log_sd;
    }
  }
  return mean;
}

}  // namespace wheymark
