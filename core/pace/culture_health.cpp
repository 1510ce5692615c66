#include "core/pace/culture_health.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace wheymark {
namespace {

// Our choices, measured in tests/simulation on other households than those that judge it: grains
// that only drift as grains do, in weather as it comes, are announced as changed once in some
// hundred batches, a change by a quarter is noticed within a dozen in three of four.
constexpr double allowance_sd = 0.5;
constexpr double limit_sd = 4.5;
constexpr double one_batch_sd_max = 2.5;
constexpr double one_batch_teaches_sd_max = 1.5;
// What a week's batches have in common (its warmth, its milk) beyond what is learned of warmth.
constexpr double weeks_differ_log_sd = 0.08;
constexpr double worth_a_word_log = 0.16;
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

// The line's level and slope, learned batch by batch (Kalman's gain for one observation).
void CultureHealth::Expected::look_from(double log_warmth) {
  const double further = begun_ ? log_warmth - log_warmth_ : 0.0;
  level_ += slope_ * further;
  level_variance_ += 2.0 * further * covariance_ + further * further * slope_variance_;
  covariance_ += further * slope_variance_;
  log_warmth_ = log_warmth;
}

void CultureHealth::Expected::learn(double log_pace, double variance) {
  if (!begun_) return begin_anew(log_pace, variance);
  const double gain_of = 1.0 / (level_variance_ + variance);
  const double level_gain = level_variance_ * gain_of;
  const double slope_gain = covariance_ * gain_of;
  const double error = log_pace - level_;
  level_ += level_gain * error;
  slope_ += slope_gain * error;
  slope_variance_ -= slope_gain * covariance_;
  covariance_ -= level_gain * covariance_;
  level_variance_ -= level_gain * level_variance_;
  level_variance_ = std::max(level_variance_, variance / remembered_batches);
}

void CultureHealth::Expected::begin_anew(double log_pace, double variance) {
  begun_ = true;
  level_ = log_pace;
  level_variance_ = variance;
  covariance_ = 0.0;
}

void CultureHealth::Since::add(const Shown& batch) {
  mean.weight += batch.weight;
  const double share = batch.weight / mean.weight;
  mean.log_pace += share * (batch.log_pace - mean.log_pace);
  mean.log_warmth += share * (batch.log_warmth - mean.log_warmth);
}

void CultureHealth::learn(std::uint64_t batch, Instant at, const PaceEvidence& evidence,
                          std::optional<double> log_warmth, const CulturePace& pace) {
  if (!evidence.says_something()) return;
  const Estimate own = own_pace(evidence, pace.spacing_shares());
  if (own.log_sd > useful_log_sd_max) return;
  log_warmth_ = log_warmth.value_or(log_warmth_);
  const double variance = own.log_sd * own.log_sd + std::pow(pace.batch_to_batch_log_sd(), 2);
  usual_.look_from(log_warmth_);
  // What is far off was hardly the culture: it counts as less, and moves what is expected by less.
  const double usual_sd =
      std::sqrt(variance + usual_.variance() + std::pow(weeks_differ_log_sd, 2));
  const double off_sd = usual_.known() ? (own.log_pace - usual_.log_pace()) / usual_sd : 0.0;
  const auto at_most = [&](double sd) {
    return usual_.known() ? usual_.log_pace() + std::clamp(off_sd, -sd, sd) * usual_sd
                          : own.log_pace;
  };
  const Shown shown{at_most(one_batch_sd_max), log_warmth_, 1.0 / variance};
  const double taught_log_pace = at_most(one_batch_teaches_sd_max);
  if (++batches_ > batches_before_it_speaks) {
    const double z = std::clamp(off_sd, -one_batch_sd_max, one_batch_sd_max);
    look_at(slower_, -1.0, z, shown, batch, at);
    look_at(faster_, 1.0, z, shown, batch, at);
  }
  usual_.learn(taught_log_pace, variance);
}

void CultureHealth::look_at(Side& side, double sign, double z, const Shown& shown,
                            std::uint64_t batch, Instant at) {
  side.sum = std::max(0.0, side.sum + sign * z - allowance_sd);
  if (side.sum == 0.0) {
    side.since.reset();
    return;
  }
  if (!side.since) side.since = Since{usual_};
  side.since->add(shown);
  const Shown& since = side.since->mean;
  Expected expected = side.since->before;
  expected.look_from(since.log_warmth);
  const double change = since.log_pace - expected.log_pace();
  if (side.sum < limit_sd || sign * change < worth_a_word_log) return;
  changes_.push_back({batch, at, std::exp(change)});
  expected.begin_anew(since.log_pace, 1.0 / since.weight);
  expected.look_from(shown.log_warmth);
  usual_ = expected;
  slower_ = Side{};
  faster_ = Side{};
}

}  // namespace wheymark
