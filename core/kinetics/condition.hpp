// What is the condition of a jar, and what will it be after the room has been warm or cold?
//
// A jar's condition is its milk temperature and the clocks that temperature drives, from the pour
// to the last glass. With the grains in, the acid's and the gas's clock run. Once the grains are
// out, what stays in the kefir sours it on by a share of the acid's clock, and a third clock
// counts hours at 4 degC: by it go the slow souring, the gas and the age of kefir
// (cold_storage.hpp). The condition is propagated along stretches in which the room is linear in
// time. The culture's pace is not in it: pace stretches the acid's clock afterwards, so learning a
// pace never means propagating again.
#pragma once

#include <optional>

#include "core/basis/units.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// The first two clocks count hours at the reference temperature, at pace 1.
struct Condition {
  Instant at;
  Celsius milk;
  double acid_clock_h;
  double gas_clock_h;         // stands still once the grains are out
  double cold_clock_h = 0.0;  // hours at 4 degC since the grains are out

  [[nodiscard]] double cold_days() const { return cold_clock_h / 24.0; }
};

enum class GrainsAre { in, out };

struct RoomStretch {
  Instant from;
  Instant to;
  Celsius at_from;
  Celsius at_to;
};

// The condition at the end of a stretch that begins where `from` is, with the grains in or out all
// the while. The milk is exact. The clocks are integrated on fixed panels, so equal input gives
// equal bits, and cutting a stretch anywhere changes them by less than 1e-9 h. A NaN temperature
// makes milk and clocks NaN.
Condition advanced(const Condition& from, const RoomStretch& stretch, double tau_h,
                   const Parameters& parameters, GrainsAre grains = GrainsAre::in);

// When the clock of 4 degC showed so much, in a step along which it runs evenly; the step's
// beginning when it did already. Nothing when it does not by the end, or is NaN.
std::optional<Instant> cold_clock_passes(double cold_clock_h, const Condition& from,
                                         const Condition& to);

}  // namespace wheymark
