#include "core/pace/culture_health.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace wheymark {
namespace {

// Our choices, measured in tests/simulation: grains that only drift as grains do are announced as
// changed once in more than a hundred batches, a change by a quarter is noticed within a dozen in
// four of five.
constexpr double allowance_sd = 0.5;
constexpr double limit_sd = 4.5;
constexpr double one_batch_sd_max = 3.0;
constexpr double worth_a_word_log = 0.12;
constexpr int batches_before_it_speaks = 4;
constexpr double remembered_batches = 20.0;  // slower change than that is ageing, not illness
constexpr double useful_log_sd_max = 0.25;   // a batch that is known worse than that says nothing

constexpr double foot = 0.10;  // of the likelihood's top

struct Estimate {
  double log_pace;
  double log_sd;
};

// A batch's own pace, whatever was believed before. The tails of the likelihood, where reports are
// assumed to be mistaken, reach over the whole grid and are left out.
Estimate own_pace(const PaceEvidence& evidence,
                  const std::array<double, sign_spacings.size()>& shares) {
  double total = 0.0;
  double mean = 0.0;
  double square = 0.0;
  for (std::size_t c = 0; c < shares.size(); ++c) {
    const pace_grid::KeptOverPaces& likelihood = evidence.likelihoods().of(c);
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      if (likelihood[i] < foot) continue;
      const double weight = shares[c] * likelihood[i];
      const double log_pace = pace_grid::log_pace_at(i);
      total += weight;
      mean += weight * log_pace;
      square += weight * log_pace * log_pace;
    }
  }
  mean /= total;
  return {mean, std::sqrt(std::max(0.0, square / total - mean * mean))};
}

}  // namespace

void CultureHealth::Mean::add(double value, double its_weight) {
  weight += its_weight;
  log_pace += its_weight / weight * (value - log_pace);
}

void CultureHealth::learn(std::uint64_t batch, Instant at, const PaceEvidence& evidence,
                          const CulturePace& pace) {
  if (!evidence.says_something()) return;
  const Estimate own = own_pace(evidence, pace.spacing_shares());
  if (own.log_sd > useful_log_sd_max) return;
  const double variance = own.log_sd * own.log_sd + std::pow(pace.batch_to_batch_log_sd(), 2);
  const double weight = 1.0 / variance;
  if (++batches_ > batches_before_it_speaks) {
    const double z =
        std::clamp((own.log_pace - usual_.log_pace) / std::sqrt(variance + 1.0 / usual_.weight),
                   -one_batch_sd_max, one_batch_sd_max);
    look_at(slower_, -1.0, z, own.log_pace, weight, batch, at);
    look_at(faster_, 1.0, z, own.log_pace, weight, batch, at);
  }
  usual_.add(own.log_pace, weight);
  usual_.weight = std::min(usual_.weight, remembered_batches * weight);
}

void CultureHealth::look_at(Side& side, double sign, double z, double log_pace, double weight,
                            std::uint64_t batch, Instant at) {
  side.sum = std::max(0.0, side.sum + sign * z - allowance_sd);
  if (side.sum == 0.0) {
    side.since = Mean{};
    return;
  }
  side.since.add(log_pace, weight);
  const double change = side.since.log_pace - usual_.log_pace;
  if (side.sum < limit_sd || sign * change < worth_a_word_log) return;
  changes_.push_back({batch, at, std::exp(change)});
  usual_ = side.since;
  slower_ = Side{};
  faster_ = Side{};
}

}  // namespace wheymark
