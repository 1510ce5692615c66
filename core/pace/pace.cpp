#include "core/pace/pace.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <utility>
#include <vector>

#include "core/basis/check.hpp"

namespace wheymark {
PaceBelief PaceBelief::prior(double median, double log_sd) {
  check(median > 0.0 && log_sd > 0.0, "a prior of the pace has a positive median and spread");
  Weights weights{{1, pace_grid::OverPaces{}}, {}};
  for (std::size_t i = 0; i < pace_grid::size; ++i) {
    const double z = (pace_grid::log_pace_at(i) - std::log(median)) / log_sd;
    weights.rows[0][i] = std::exp(-0.5 * z * z);
  }
  return PaceBelief(std::move(weights));
}

PaceBelief PaceBelief::given(const PaceEvidence& evidence) const {
  if (!evidence.says_something()) return *this;
  const Weights& before = shares_->weights;
  const PaceEvidence::Likelihoods& likelihoods = evidence.likelihoods();
  const PairedRows paired(before.row_of, likelihoods.row_of);
  Weights after{{}, paired.row_of};
  after.rows.reserve(paired.rows.size());
  for (const auto& [believed, shown] : paired.rows) {
    pace_grid::OverPaces& row = after.rows.emplace_back(before.rows[believed]);
    for (std::size_t i = 0; i < pace_grid::size; ++i) row[i] *= likelihoods.rows[shown][i];
  }
  return PaceBelief(std::move(after));
}

double PaceBelief::likelihood_of(const PaceEvidence& evidence) const {
  if (!evidence.says_something()) return 1.0;
  double sum = 0.0;
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    const pace_grid::OverPaces& believed = shares_->weights.of(c);
    const pace_grid::KeptOverPaces& shown = evidence.likelihoods().of(c);
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      sum += spacing_prior[c] * believed[i] * shown[i];
    }
  }
  return sum;
}

PaceBelief PaceBelief::moved(double log_shift, double log_sd) const {
  Weights after = shares_->weights;
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  for (auto& row : after.rows) row = pace_grid::blurred(pace_grid::moved(row, log_shift), blur);
  return PaceBelief(std::move(after));
}

PaceBelief::Shares::Shares(Weights any_scale) : weights(std::move(any_scale)) {
  // By row: the prior of the spacings that share it, in all and by what follows the opening.
  std::vector<double> of_rows(weights.rows.size());
  std::vector<std::array<double, spacings_after.size()>> of_rows_by_after(weights.rows.size());
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    of_rows[weights.row_of[c]] += spacing_prior[c];
    of_rows_by_after[weights.row_of[c]][c % spacings_after.size()] += spacing_prior[c];
  }
  std::vector<double> sums;
  double total = 0.0;
  for (std::size_t r = 0; r < weights.rows.size(); ++r) {
    sums.push_back(std::accumulate(weights.rows[r].begin(), weights.rows[r].end(), 0.0));
    total += of_rows[r] * sums[r];
  }
  check(total > 0.0, "a belief holds something possible");
  for (std::size_t r = 0; r < weights.rows.size(); ++r) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      const double weight = weights.rows[r][i] /= total;
      over_paces[i] += of_rows[r] * weight;
      for (std::size_t a = 0; a < spacings_after.size(); ++a) {
        by_after[a][i] += of_rows_by_after[r][a] * weight;
      }
    }
  }
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    const double share = spacing_prior[c] * sums[weights.row_of[c]] / total;
    mean_spacing.before += share * sign_spacings[c].before;
    mean_spacing.after += share * sign_spacings[c].after;
  }
}

PaceBelief::PaceBelief(Weights weights)
    : shares_(std::make_shared<const Shares>(std::move(weights))), median_(quantile(0.5)) {}

void PaceBelief::add_to_closing(pace_grid::OverPaces& sum, std::size_t after,
                                double log_ratio) const {
  // The milestone has the full reference ratio; the shift is what this spacing has less of it.
  const double shift = (1.0 - spacings_after[after]) * log_ratio / pace_grid::step;
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
  for (std::size_t a = 0; a < spacings_after.size(); ++a) add_to_closing(sum, a, log_ratio);
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
  Weights weights = shares_->weights;
  for (auto& row : weights.rows) row = pace_grid::blurred(row, blur);
  return PaceBelief(std::move(weights));
}

double PaceBelief::quantile(double share) const {
  check(share > 0.0 && share < 1.0, "a quantile is asked for between 0 and 1");
  // Each grid point stands for half a step to both sides; the share grows linearly within it.
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
