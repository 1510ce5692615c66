// The last day of a jar in two lines, milk and room, and what lies ahead of it.
//
// The milk's past is computed again from the air with the same heat law as the forecast, in steps
// of a quarter of an hour: good to some hundredths of a kelvin, and nothing needs to be kept for
// it. It moves on every quarter of an hour, so that a tile changes no more often than that.
#pragma once

#include <optional>
#include <vector>

#include "core/basis/units.hpp"
#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"

namespace wheymark {

struct PointOfDay {
  Instant at;
  double c;
};

struct Day {
  Instant from;
  Instant now;  // to the quarter of an hour
  Instant to;
  std::vector<PointOfDay> milk;
  std::vector<PointOfDay> air;
  InstantSpread peak_opens;  // as far as it lies within
};

// Nothing for an empty jar, and while its air has no reading.
std::optional<Day> last_day_of(const Household& household, const JarState& state, Instant now);

}  // namespace wheymark
