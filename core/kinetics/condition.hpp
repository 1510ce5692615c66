// What is the condition of a jar, and what will it be after the room has been warm or cold?
//
// A jar's condition is its milk temperature and the two clocks that temperature drives. It is
// propagated along stretches in which the room is linear in time. The culture's pace is not in it:
// pace stretches the clocks afterwards, so learning a pace never means propagating again.
#pragma once

#include "core/basis/units.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// Clocks count hours at the reference temperature, at pace 1.
struct Condition {
  Instant at;
  Celsius milk;
  double acid_clock_h;
  double gas_clock_h;
};

struct RoomStretch {
  Instant from;
  Instant to;
  Celsius at_from;
  Celsius at_to;
};

// The condition at the end of a stretch that begins where `from` is. The milk is exact. The clocks
// are integrated on fixed panels, so equal input gives equal bits, and cutting a stretch anywhere
// changes them by less than 1e-9 h. A NaN temperature makes milk and clocks NaN.
Condition advanced(const Condition& from, const RoomStretch& stretch, double tau_h,
                   const Parameters& parameters);

}  // namespace wheymark
