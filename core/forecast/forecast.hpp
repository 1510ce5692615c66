// When a batch will peak: not an instant, but a spread of instants.
//
// A milestone is reached when pace times clock is the milestone's clock hours. The pace is a
// belief, the clock's future follows from the air ahead; a slow pace gives the late end of the
// spread. The air ahead is for now the last reading going on as it is.
#pragma once

#include <optional>

#include "core/basis/units.hpp"
#include "core/forecast/clock_track.hpp"
#include "core/forecast/pace.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/kinetics/signs.hpp"

namespace wheymark {

// Ten, fifty and ninety percent. A missing one lies beyond limits::forecast_ahead_max.
struct InstantSpread {
  std::optional<Instant> p10;
  std::optional<Instant> p50;
  std::optional<Instant> p90;
};

struct Forecast {
  InstantSpread peak_opens;
  InstantSpread peak_closes;
};

// The air that lies ahead of a batch, where it stands. The place of daily profiles to come.
struct AirAhead {
  Celsius last;
  [[nodiscard]] Celsius at(Instant) const { return last; }
};

// `past` ends where `now` is; `tau_h` is the jar's time constant.
Forecast forecast(ClockTrack past, const Condition& now, const AirAhead& ahead, double tau_h,
                  const PaceBelief& pace, const Milestones& milestones,
                  const Parameters& parameters);

}  // namespace wheymark
