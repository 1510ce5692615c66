#include "core/forecast/forecast.hpp"

#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

// Steps of a quarter of an hour: the air ahead is no better known than that.
constexpr std::chrono::minutes step{15};

// Goes on with the clock until it shows `clock_h` or the forecast's horizon is reached.
void look_ahead(ClockTrack& track, Condition now, const AirAhead& ahead, double tau_h,
                double clock_h, const Parameters& parameters) {
  const Instant horizon = now.at + limits::forecast_ahead_max;
  track.end_with(now.at, now.acid_clock_h);
  while (now.acid_clock_h < clock_h && now.at < horizon) {
    const RoomStretch stretch{now.at, now.at + step, ahead.at(now.at), ahead.at(now.at + step)};
    now = advanced(now, stretch, tau_h, parameters);
    track.end_with(now.at, now.acid_clock_h);
  }
}

InstantSpread spread(const ClockTrack& track, double milestone_h, const PaceBelief& pace) {
  return {track.instant_of(milestone_h / pace.quantile(0.9)),
          track.instant_of(milestone_h / pace.quantile(0.5)),
          track.instant_of(milestone_h / pace.quantile(0.1))};
}

}  // namespace

Forecast forecast(ClockTrack past, const Condition& now, const AirAhead& ahead, double tau_h,
                  const PaceBelief& pace, const Milestones& milestones,
                  const Parameters& parameters) {
  const double latest_h = milestones.peak_closes_h / pace.quantile(0.1);
  look_ahead(past, now, ahead, tau_h, latest_h, parameters);
  return {spread(past, milestones.peak_opens_h, pace),
          spread(past, milestones.peak_closes_h, pace)};
}

}  // namespace wheymark
