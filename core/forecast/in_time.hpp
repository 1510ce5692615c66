// The chance that a peak is open while somebody can strain it.
//
// It is missed when it opens and closes between two times at which somebody is there. What opens
// early also closes early (one pace, one room), so the chance to open after one instant and close
// before another is taken as the difference of the two chances: exact for a peak that is shorter
// than the time without anybody, which peaks in rooms are.
#pragma once

#include <span>

#include "core/basis/units.hpp"
#include "core/forecast/forecast.hpp"

namespace wheymark {

// Somebody can strain from then to then.
struct Attended {
  Instant from;
  Instant until;
};

// `attended` in the order of time, at least one, not overlapping. 0 to 1.
double chance_in_time(const Chances& opens, const Chances& closes,
                      std::span<const Attended> attended);

}  // namespace wheymark
