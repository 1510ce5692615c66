#include "core/pace/observation.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// How long people who are awake wait before they look again: some come by all the time, some twice
// a day. Our estimates.
struct Habit {
  double share;
  double looks_every_h;
};
constexpr std::array<Habit, 3> habits{Habit{0.35, 0.4}, Habit{0.40, 1.0}, Habit{0.25, 2.5}};

constexpr double look_step = 0.02;  // of ln(clock)
constexpr std::size_t look_steps = 100;

// The standard normal's share below z.
double normal_below(double z) {
  return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

// The middles of nine equal shares of the standard normal.
constexpr std::array<double, 9> ninths{-1.593219, -0.967422, -0.589456, -0.282216, 0.0,
                                       0.282216,  0.589456,  0.967422,  1.593219};

// A milestone as ln of its clock hours by the opening's, with the spread of eyes and batches.
struct Crossing {
  double log_ratio;
  double log_sd;
};

// How far a batch is beyond a crossing, in ln(clock); negative when it is not there yet.
struct Progress {
  double beyond;
  double log_sd;

  [[nodiscard]] double not_there_yet() const { return normal_below(-beyond / log_sd); }
  [[nodiscard]] double there() const { return normal_below(beyond / log_sd); }
  [[nodiscard]] double there_since_lately(const Look& look) const {
    double sum = 0.0;
    for (const double z : ninths) {
      const double since = beyond + log_sd * z;
      if (since >= 0.0) sum += look.unsaid_so_long(since);
    }
    return sum / static_cast<double>(ninths.size());
  }
};

// Where a batch of some pace and spacing is at a look.
class StandingAtLook {
 public:
  StandingAtLook(const Look& look, const Milestones& milestones, const Parameters& p)
      : log_clock_h_(std::log(look.clock_h())),
        log_opens_h_(std::log(milestones.peak_opens_h)),
        thickened_{std::log(milestones.thickened_h) - log_opens_h_, p.thickened_log_sd},
        set_{std::log(milestones.set_h) - log_opens_h_, p.set_log_sd},
        opens_{0.0, p.peak_opens_log_sd},
        closes_{std::log(milestones.peak_closes_h) - log_opens_h_, p.peak_closes_log_sd} {}

  // The part of the spacing on which a sign and the next one depend.
  [[nodiscard]] static double SignSpacing::*part_of(Sign sign) {
    return sign <= Sign::set ? &SignSpacing::before : &SignSpacing::after;
  }
  [[nodiscard]] Progress beyond_thickened(double log_pace, double before) const {
    return beyond(thickened_, log_pace, before);
  }
  [[nodiscard]] Progress beyond_opening(double log_pace) const {
    return beyond(opens_, log_pace, 1.0);
  }
  [[nodiscard]] Progress beyond_half_peak(double log_pace, double after) const {
    return beyond({0.5 * closes_.log_ratio, opens_.log_sd}, log_pace, after);
  }
  // Beyond the crossing that brings this sign; nothing brings still milk.
  [[nodiscard]] Progress beyond_own(Sign sign, double log_pace, double part) const {
    switch (sign) {
      case Sign::still_milk:
        break;
      case Sign::thickened:
        return beyond(thickened_, log_pace, part);
      case Sign::set:
        return beyond(set_, log_pace, part);
      case Sign::whey_pockets:
        return beyond(opens_, log_pace, part);
      case Sign::whey_layer:
      case Sign::separated:
        return beyond(closes_, log_pace, part);
    }
    check(false, "still milk is brought by nothing");
    return {};
  }
  // The chance that the sign after this one has not come.
  [[nodiscard]] double next_not_there(Sign sign, double log_pace, double part) const {
    switch (sign) {
      case Sign::still_milk:
        return beyond(thickened_, log_pace, part).not_there_yet();
      case Sign::thickened:
        return beyond(set_, log_pace, part).not_there_yet();
      case Sign::set:
        return beyond(opens_, log_pace, part).not_there_yet();
      case Sign::whey_pockets:
        return beyond(closes_, log_pace, part).not_there_yet();
      case Sign::whey_layer:
      case Sign::separated:
        break;
    }
    return 1.0;
  }

 private:
  [[nodiscard]] Progress beyond(const Crossing& crossing, double log_pace, double part) const {
    return {log_clock_h_ + log_pace - log_opens_h_ - part * crossing.log_ratio, crossing.log_sd};
  }

  double log_clock_h_;
  double log_opens_h_;
  Crossing thickened_, set_, opens_, closes_;
};

}  // namespace

Look::Look(const ClockTrack& track, Instant at, const LookedHours& looked_h)
    : clock_h_(track.clock_h_at(at)) {
  if (!(clock_h_ > 0.0)) return;
  double just_come = 0.0;
  for (const Habit& habit : habits) just_come += habit.share / habit.looks_every_h;
  unsaid_.reserve(look_steps);
  for (std::size_t k = 0; k < look_steps; ++k) {
    const auto came = track.instant_of(clock_h_ * std::exp(-look_step * static_cast<double>(k)));
    const double hours = came && *came < at ? looked_h(*came, at) : 0.0;
    double unsaid = 0.0;
    for (const Habit& habit : habits) {
      unsaid += habit.share / habit.looks_every_h * std::exp(-hours / habit.looks_every_h);
    }
    unsaid_.push_back(unsaid / just_come);
  }
}

double Look::unsaid_so_long(double earlier) const {
  const double place = std::min(earlier / look_step, static_cast<double>(look_steps - 1));
  const std::size_t left = std::min(static_cast<std::size_t>(place), look_steps - 2);
  const double share = place - static_cast<double>(left);
  return unsaid_[left] + share * (unsaid_[left + 1] - unsaid_[left]);
}

void weigh_sign(PaceEvidence& evidence, Sign sign, Sign seen_before, const Look& look,
                const Milestones& milestones, const Parameters& parameters) {
  if (!(look.clock_h() > 0.0)) return;
  const StandingAtLook alerts_of(look, milestones, parameters);
  const bool is_new = sign > seen_before;
  const auto likelihood = [&](double log_pace, double part) {
    const double next_not_there = alerts_of.next_not_there(sign, log_pace, part);
    if (!is_new) return next_not_there;
    return next_not_there * alerts_of.beyond_own(sign, log_pace, part).there_since_lately(look);
  };
  evidence.weigh_by(StandingAtLook::part_of(sign), likelihood, parameters.mistaken_report_share);
}

void weigh_ph(PaceEvidence& evidence, double ph, double error_ph, int readings_before,
              const Look& look, const AcidCurve& curve, const Milestones& milestones,
              const Parameters& parameters) {
  if (!(look.clock_h() > 0.0)) return;
  const double one_sd =
      std::hypot(std::max(parameters.ph_reading_sd_ph, error_ph), parameters.curve_sd_ph);
  const double sd_ph = one_sd * std::sqrt(1.0 + readings_before);
  const double log_opens_h = std::log(milestones.peak_opens_h);
  const double log_clock_h = std::log(look.clock_h());
  const auto likelihood = [&](double log_pace, SignSpacing spacing) {
    // Where it would be with the reference spacing, when this one is so far from its opening.
    const double beyond = log_clock_h + log_pace - log_opens_h;
    const double from_opening = beyond / (beyond < 0.0 ? spacing.before : spacing.after);
    const double z = (ph - curve.at(std::exp(log_opens_h + from_opening)).ph) / sd_ph;
    return std::exp(-0.5 * z * z);
  };
  evidence.weigh(likelihood, parameters.mistaken_report_share);
}

double weigh_straining(PaceEvidence& evidence, double looked_share, double once_told_per_h,
                       const Look& look, const Milestones& milestones,
                       const Parameters& parameters) {
  if (!(look.clock_h() > 0.0)) return 0.0;
  const StandingAtLook alerts_of(look, milestones, parameters);
  double looks_per_h = 0.0;
  for (const Habit& habit : habits) looks_per_h += looked_share * habit.share / habit.looks_every_h;
  double most = 0.0;
  const auto likelihood = [&](double log_pace, double) {
    const Progress opening = alerts_of.beyond_opening(log_pace);
    const double per_h =
        looks_per_h * opening.there_since_lately(look) + once_told_per_h * opening.there();
    most = std::max(most, per_h);
    return per_h;
  };
  evidence.weigh_by(&SignSpacing::after, likelihood, parameters.mistaken_report_share);
  return most;
}

void weigh_verdict(PaceEvidence& evidence, Verdict verdict, Sign seen_before, const Look& look,
                   const Milestones& milestones, const Parameters& parameters) {
  if (!(look.clock_h() > 0.0)) return;
  const StandingAtLook alerts_of(look, milestones, parameters);
  const double log_sd = std::hypot(parameters.peak_opens_log_sd, parameters.verdict_log_sd);
  const auto part = verdict == Verdict::early ? &SignSpacing::before : &SignSpacing::after;
  const auto likelihood = [&](double log_pace, double drawn) {
    Progress opening = alerts_of.beyond_opening(log_pace);
    opening.log_sd = log_sd;
    switch (verdict) {
      case Verdict::early:
        return opening.not_there_yet() * alerts_of.beyond_thickened(log_pace, drawn).there();
      case Verdict::right: {
        const double open =
            seen_before >= Sign::whey_pockets ? 1.0 : opening.there_since_lately(look);
        return open * alerts_of.next_not_there(Sign::whey_pockets, log_pace, drawn);
      }
      case Verdict::late: {
        Progress half_peak = alerts_of.beyond_half_peak(log_pace, drawn);
        half_peak.log_sd = log_sd;
        return half_peak.there();
      }
    }
    return 1.0;
  };
  evidence.weigh_by(part, likelihood, parameters.mistaken_report_share);
}

}  // namespace wheymark
