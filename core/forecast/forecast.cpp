#include "core/forecast/forecast.hpp"

#include <algorithm>
#include <cmath>

namespace wheymark {
namespace {

// Five-point Gauss-Hermite for a standard normal (DLMF 3.5): exact for polynomials up to degree 9.
struct Node {
  double z;
  double weight;
};
constexpr std::array<Node, 5> nodes{
    Node{-2.856970013872806, 0.011257411327720689}, Node{-1.355626179974266, 0.22207592200561263},
    Node{0.0, 0.53333333333333333}, Node{1.355626179974266, 0.22207592200561263},
    Node{2.856970013872806, 0.011257411327720689}};

struct Tried {
  std::size_t point;
  double chance;
};

}  // namespace

Chances::Chances(const ClockAhead& ahead, const pace_grid::OverPaces& paces, double milestone_h)
    : ahead_(ahead), milestone_h_(milestone_h) {
  below_[0] = 0.0;
  for (std::size_t i = 0; i < pace_grid::size; ++i) below_[i + 1] = below_[i] + paces[i];
}

// Each grid point stands for half a step to both sides.
double Chances::paces_from(double log_pace) const {
  const double place = (log_pace + pace_grid::log_pace_max) / pace_grid::step + 0.5;
  if (!(place > 0.0)) return ever();
  if (place >= static_cast<double>(pace_grid::size)) return 0.0;
  const auto left = static_cast<std::size_t>(place);
  const double share = place - static_cast<double>(left);
  return ever() - below_[left] - share * (below_[left + 1] - below_[left]);
}

double Chances::clock_h_of(double share) const {
  std::size_t i = 0;
  while (i + 1 < pace_grid::size && below_[i + 1] < 1.0 - share) ++i;
  const double inside = (1.0 - share - below_[i]) / (below_[i + 1] - below_[i]);
  return milestone_h_ / std::exp(pace_grid::log_pace_at(i) + pace_grid::step * (inside - 0.5));
}

double Chances::reached(std::size_t point) const {
  const ClockAhead::Point& clock = ahead_.points()[point];
  const double sd_h = clock.sd_h();
  double chance = 0.0;
  for (const Node& node : nodes) {
    const double clock_h = clock.clock_h + node.z * sd_h;
    if (clock_h > 0.0) chance += node.weight * paces_from(std::log(milestone_h_ / clock_h));
  }
  return chance;
}

double Chances::reached_by(Instant instant) const {
  const double place = hours_between(ahead_.from(), instant) * 12.0;
  const auto last = static_cast<double>(ahead_.points().size() - 1);
  return reached(static_cast<std::size_t>(std::clamp(place, 0.0, last)));
}

std::optional<Instant> Chances::instant_of(double share) const {
  const std::size_t last = ahead_.points().size() - 1;
  if (reached(0) >= share || reached(last) < share) return std::nullopt;
  // The search begins where the expected clock gets there, which is close unless the room's doubt
  // is large; a chance costs a hundred times a comparison.
  const double expected_h = clock_h_of(share);
  const auto expected =
      std::partition_point(ahead_.points().begin(), ahead_.points().end(),
                           [&](const ClockAhead::Point& p) { return p.clock_h < expected_h; });
  const auto guess = static_cast<std::size_t>(expected - ahead_.points().begin());
  const auto chance_at = [this](std::size_t point) { return Tried{point, reached(point)}; };
  Tried before = chance_at(std::clamp<std::size_t>(guess, 1, last) - 1);
  Tried after = before;
  for (std::size_t step = 1; before.chance >= share; step *= 4) {
    after = before;
    before = chance_at(before.point - std::min(step, before.point));
  }
  for (std::size_t step = 1; after.chance < share; step *= 4) {
    before = after;
    after = chance_at(std::min(after.point + step, last));
  }
  while (after.point - before.point > 1) {
    const Tried middle = chance_at((before.point + after.point) / 2);
    (middle.chance < share ? before : after) = middle;
  }
  const double part = (share - before.chance) / (after.chance - before.chance);
  return after_hours(ahead_.from(), (static_cast<double>(before.point) + part) / 12.0);
}

double enough_clock_h(const PaceBelief& pace, const Milestones& milestones) {
  // The latest closing that a forecast gives is nearly the reference's at the slow end.
  return milestones.peak_closes_h / pace.quantile(0.05);
}

Forecast forecast(const ClockTrack& past, const ClockAhead& ahead, const PaceBelief& pace,
                  const Milestones& milestones, const Parameters& parameters) {
  const auto spread = [&](const Chances& chances) {
    const auto when = [&](double share) {
      if (chances.reached_at_start() < share) return chances.instant_of(share);
      // Reached already: then the air is known, and only the pace is not.
      return past.instant_of(chances.clock_h_of(share));
    };
    return InstantSpread{when(0.1), when(0.5), when(0.9)};
  };
  const double peak_log_ratio = std::log(milestones.peak_closes_h / milestones.peak_opens_h);
  Forecast forecast;
  forecast.peak_opens = spread(Chances(ahead, pace.over_paces(), milestones.peak_opens_h));
  if (!std::isfinite(peak_log_ratio)) return forecast;  // a peak that never closes, or never opens
  forecast.peak_closes = spread(
      Chances(ahead, pace.over_paces_to_closing(peak_log_ratio, parameters.peak_closes_log_sd),
              milestones.peak_closes_h));
  return forecast;
}

Milestones as_believed(const Milestones& reference, const PaceBelief& pace) {
  const SignSpacing spacing = pace.mean_spacing();
  const double opens_h = reference.peak_opens_h;
  if (!std::isfinite(opens_h)) return reference;
  const auto drawn = [&](double clock_h) {
    return opens_h *
           std::pow(clock_h / opens_h, clock_h < opens_h ? spacing.before : spacing.after);
  };
  return {drawn(reference.thickened_h), drawn(reference.set_h), opens_h,
          drawn(reference.peak_closes_h)};
}

}  // namespace wheymark
