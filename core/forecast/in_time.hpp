// The chance that a peak is open while somebody can strain it.
//
// It is missed when it opens and closes between two times at which somebody is there. What opens
// early also closes early (one pace, one room), so with one sign spacing the chance to open after
// one instant and close before another is the difference of the two chances: exact for a peak that
// is shorter than the time without anybody, which peaks in rooms are. How long a peak lasts is the
// least sure of all that is computed, because it is seldom reported: each spacing is weighted as it
// is believed.
#pragma once

#include <array>
#include <span>

#include "core/basis/units.hpp"
#include "core/forecast/forecast.hpp"

namespace wheymark {

// Somebody can strain from then to then.
struct Attended {
  Instant from;
  Instant until;
};

// A peak that is to come, on a clock that is not known yet.
struct PeakToCome {
  Milestones milestones;  // the reference's
  pace_grid::OverPaces opening_paces;
  // For each spacing after the opening; together they add up to 1.
  std::array<pace_grid::OverPaces, spacings_after.size()> closing_paces;

  // `milestones` must be finite.
  static PeakToCome believed(const PaceBelief& pace, const Milestones& milestones,
                             const Parameters& parameters);
};

// `attended` in the order of time, at least one, not overlapping. 0 to 1.
double chance_in_time(const PeakToCome& peak, const ClockAhead& clock,
                      std::span<const Attended> attended);

}  // namespace wheymark
