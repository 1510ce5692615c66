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

// How long a peak lasts is the least sure of all that is computed: it is reported seldom, and
// kitchens differ by a factor of two. Whoever plans counts on half of it, in the logarithm of the
// clock (our choice: simulated households of another kinetics had 2.5 h where 5 h were computed).
inline constexpr double peak_counted_share = 0.5;

// The milestones with the peak's closing as early as it is counted on.
Milestones counted_on(const Milestones& milestones);

// `attended` in the order of time, at least one, not overlapping. 0 to 1.
double chance_in_time(const Chances& opens, const Chances& closes,
                      std::span<const Attended> attended);

}  // namespace wheymark
