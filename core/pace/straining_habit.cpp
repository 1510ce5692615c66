#include "core/pace/straining_habit.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace wheymark {
namespace {

// Our estimates, measured in tests/simulation on people of each kind.
// Whoever is told goes there soon, or when what they are doing is done.
constexpr double soon_h = 0.3;
constexpr double later_h = 1.5;
constexpr double soon_share = 0.5;
// Later than this they had looked before, and it was not ready.
constexpr double goes_within_h = 1.0;
// Who strains only when told seldom does so before.
constexpr double untold_per_h = 0.01;
// Who strains by the clock does so within some half an hour; a share of the strainings is
// otherwise.
constexpr double their_hour_sd_h = 0.6;
constexpr double otherwise_share = 0.15;
constexpr double otherwise_per_h = 0.05;
// Before anything is known of them: a day, more or less.
constexpr double a_day_h = 24.0;
constexpr double a_day_sd_h = 1.5;
constexpr std::size_t hours_remembered = 8;
// People change: so much of what was learned of them is forgotten with each straining.
constexpr double forgotten_share = 0.07;

double normal_per_h(double hours, double mean_h, double sd_h) {
  const double z = (hours - mean_h) / sd_h;
  return std::exp(-0.5 * z * z) / (sd_h * std::sqrt(2.0 * std::numbers::pi));
}

double exponential_per_h(double hours, double mean_h) {
  return std::exp(-hours / mean_h) / mean_h;
}

double once_told_per_h(const std::optional<double>& after_told_h) {
  if (!after_told_h) return untold_per_h;
  return soon_share * exponential_per_h(*after_told_h, soon_h) +
         (1.0 - soon_share) * exponential_per_h(*after_told_h, later_h);
}

}  // namespace

std::optional<SilentStraining> silent_straining(double after_start_h,
                                                std::optional<double> after_told_h,
                                                Sign seen_before, const Look& look,
                                                const Milestones& milestones,
                                                const Parameters& parameters) {
  // Whoever has said that it is ready has told it by that.
  if (!(look.clock_h() > 0.0) || seen_before >= Sign::whey_pockets) return std::nullopt;
  SilentStraining straining{{}, 0.0, after_start_h, after_told_h};
  const double went_because_told = after_told_h ? std::exp(-*after_told_h / goes_within_h) : 0.0;
  straining.most_per_h =
      weigh_straining(straining.if_looked, 1.0 - went_because_told, once_told_per_h(after_told_h),
                      look, milestones, parameters);
  if (!straining.if_looked.says_something()) return std::nullopt;
  return straining;
}

double StrainingHabit::at_their_hour(double after_start_h) const {
  double habit = normal_per_h(after_start_h, a_day_h, a_day_sd_h);
  if (!hours_.empty()) {
    habit = 0.0;
    for (const double before : hours_) {
      habit += normal_per_h(after_start_h, before, their_hour_sd_h);
    }
    habit /= static_cast<double>(hours_.size());
  }
  return otherwise_share * otherwise_per_h + (1.0 - otherwise_share) * habit;
}

PaceEvidence StrainingHabit::learn(const PaceEvidence& reports, const SilentStraining& straining,
                                   const PaceBelief& believed) {
  const double if_obeys = once_told_per_h(straining.after_told_h);
  const double if_by_the_clock = at_their_hour(straining.after_start_h);
  const double whatever_it_shows = obeys_ * if_obeys + by_the_clock_ * if_by_the_clock;
  const double most = looks_ * straining.most_per_h;
  const double if_looks =
      straining.most_per_h * believed.given(reports).likelihood_of(straining.if_looked);

  const double total = looks_ * if_looks + whatever_it_shows;
  const auto learned = [&](double share, double per_h, double before) {
    return (1.0 - forgotten_share) * share * per_h / total + forgotten_share * before;
  };
  looks_ = learned(looks_, if_looks, looks_before);
  obeys_ = learned(obeys_, if_obeys, obeys_before);
  by_the_clock_ = learned(by_the_clock_, if_by_the_clock, by_the_clock_before);
  if (hours_.size() == hours_remembered) hours_.erase(hours_.begin());
  hours_.push_back(straining.after_start_h);
  return reports.and_perhaps(straining.if_looked, whatever_it_shows / (whatever_it_shows + most));
}

}  // namespace wheymark
