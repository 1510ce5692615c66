#include "core/pace/culture_pace.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>
#include <vector>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// Our estimates, all of them. The scatter is tried at these multiples of the parameter; a culture
// that lives in one kitchen scatters less than what is known of kefir in general.
constexpr std::array<double, 5> scatter_factors{0.30, 0.45, 0.65, 0.95, 1.40};
constexpr std::array<double, 5> scatter_prior{0.22, 0.30, 0.27, 0.14, 0.07};

// An odd batch now and then scatters further.
pace_grid::Blur with_odd_batches(double log_sd, const Parameters& p) {
  pace_grid::Blur usual = pace_grid::normal_blur(log_sd);
  pace_grid::Blur blur = pace_grid::normal_blur(p.odd_batch_factor * log_sd);
  usual.resize(std::max(usual.size(), blur.size()), 0.0);
  blur.resize(usual.size(), 0.0);
  for (std::size_t k = 0; k < blur.size(); ++k) {
    blur[k] = (1.0 - p.odd_batch_share) * usual[k] + p.odd_batch_share * blur[k];
  }
  return blur;
}

}  // namespace

CulturePace::CulturePace(const Parameters& parameters) {
  auto scatter = std::make_shared<Scatters>();
  scatter->drift_log_sd_a_day = parameters.pace_drift_log_sd_a_day;
  auto weight = std::make_shared<OverCultures>();
  Row& row = weight->rows.emplace_back();
  for (std::size_t s = 0; s < scatters; ++s) {
    const double log_sd = scatter_factors[s] * parameters.batch_to_batch_log_sd;
    scatter->tried[s] = {log_sd, with_odd_batches(log_sd, parameters)};
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      const double z = (pace_grid::log_pace_at(i) - std::log(parameters.pace_prior_median)) /
                       parameters.pace_prior_log_sd;
      row[s][i] = static_cast<float>(scatter_prior[s] * std::exp(-0.5 * z * z));
    }
  }
  normalise(*weight);
  scatter_ = std::move(scatter);
  weight_ = std::move(weight);
}

void CulturePace::normalise(OverCultures& weights) {
  weights.shares.resize(weights.rows.size());
  for (std::size_t r = 0; r < weights.rows.size(); ++r) {
    for (std::size_t s = 0; s < scatters; ++s) {
      const pace_grid::KeptOverPaces& paces = weights.rows[r][s];
      weights.shares[r][s] = std::accumulate(paces.begin(), paces.end(), 0.0);
    }
  }
  double total = 0.0;
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    for (const double share : weights.shares[weights.row_of[c]]) total += spacing_prior[c] * share;
  }
  check(total > 0.0, "a belief about a culture holds something possible");
  for (auto& of_a_row : weights.shares) {
    for (double& share : of_a_row) share /= total;
  }
  for (Row& row : weights.rows) {
    for (auto& over_paces : row) {
      for (float& weight : over_paces) weight = static_cast<float>(weight / total);
    }
  }
}

pace_grid::Blur CulturePace::drift_until(Instant at) const {
  if (!learned_at_ || at <= *learned_at_) return pace_grid::normal_blur(0.0);
  const double days = hours_between(*learned_at_, at) / 24.0;
  return pace_grid::normal_blur(scatter_->drift_log_sd_a_day * std::sqrt(days));
}

void CulturePace::learn(const PaceEvidence& evidence, Instant at) {
  if (!evidence.says_something()) return;
  const pace_grid::Blur drift = drift_until(at);
  const PaceEvidence::Likelihoods& shown = evidence.likelihoods();
  const PairedRows paired(weight_->row_of, shown.row_of);
  auto after = std::make_shared<OverCultures>();
  after->row_of = paired.row_of;
  after->rows.resize(paired.rows.size());
  for (std::size_t s = 0; s < scatters; ++s) {
    std::vector<pace_grid::OverPaces> of_culture;
    for (const auto& likelihood : shown.rows) {
      of_culture.push_back(
          pace_grid::blurred(pace_grid::taken_up(likelihood), scatter_->tried[s].blur));
    }
    for (std::size_t r = 0; r < paired.rows.size(); ++r) {
      const auto& [believed, by] = paired.rows[r];
      auto weights = pace_grid::blurred(pace_grid::taken_up(weight_->rows[believed][s]), drift);
      for (std::size_t i = 0; i < pace_grid::size; ++i) weights[i] *= of_culture[by][i];
      after->rows[r][s] = pace_grid::kept(weights);
    }
  }
  normalise(*after);
  weight_ = std::move(after);
  learned_at_ = learned_at_ ? std::max(*learned_at_, at) : at;
  ++batches_;
}

CulturePace CulturePace::given(const PaceEvidence& usual) const {
  CulturePace known = *this;
  if (!usual.says_something()) return known;
  const PaceEvidence::Likelihoods& shown = usual.likelihoods();
  const PairedRows paired(weight_->row_of, shown.row_of);
  auto after = std::make_shared<OverCultures>();
  after->row_of = paired.row_of;
  for (const auto& [believed, by] : paired.rows) {
    Row& row = after->rows.emplace_back(weight_->rows[believed]);
    for (pace_grid::KeptOverPaces& paces : row) {
      for (std::size_t i = 0; i < pace_grid::size; ++i) paces[i] *= shown.rows[by][i];
    }
  }
  normalise(*after);
  known.weight_ = std::move(after);
  return known;
}

template <class OfARow>
PaceBelief CulturePace::belief(OfARow of_a_row) const {
  PaceBelief::Weights believed;
  believed.row_of = weight_->row_of;
  believed.rows.reserve(weight_->rows.size());
  for (const Row& row : weight_->rows) {
    pace_grid::OverPaces& sum = believed.rows.emplace_back();  // zeros
    for (std::size_t s = 0; s < scatters; ++s) {
      const pace_grid::OverPaces weights = of_a_row(pace_grid::taken_up(row[s]), s);
      for (std::size_t i = 0; i < pace_grid::size; ++i) sum[i] += weights[i];
    }
  }
  return PaceBelief(std::move(believed));
}

PaceBelief CulturePace::of_a_batch(Instant at) const {
  return belief(
      [this, drift = drift_until(at)](const pace_grid::OverPaces& weights, std::size_t s) {
        return pace_grid::blurred(pace_grid::blurred(weights, drift), scatter_->tried[s].blur);
      });
}

PaceBelief CulturePace::of_the_culture() const {
  return belief([](const pace_grid::OverPaces& weights, std::size_t) { return weights; });
}

std::array<double, sign_spacings.size()> CulturePace::spacing_shares() const {
  std::array<double, sign_spacings.size()> of_spacings = spacing_prior;
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    const auto& shares = weight_->shares[weight_->row_of[c]];
    of_spacings[c] *= std::accumulate(shares.begin(), shares.end(), 0.0);
  }
  return of_spacings;
}

double CulturePace::batch_to_batch_log_sd() const {
  double mean = 0.0;
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    const auto& shares = weight_->shares[weight_->row_of[c]];
    for (std::size_t s = 0; s < scatters; ++s) {
      mean += spacing_prior[c] * shares[s] * scatter_->tried[s].log_sd;
    }
  }
  return mean;
}

}  // namespace wheymark
