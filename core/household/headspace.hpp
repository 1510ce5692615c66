// Whether a jar is filled so that curd and gas have room.
#pragma once

namespace wheymark {

// The trade leaves about 5 cm; in jars of half a litre to two litres that is a fifth of the
// capacity (common practice; the share is our estimate).
inline constexpr double headspace_share_min = 0.2;

constexpr bool leaves_headspace(double milk_ml, double capacity_ml) {
  return milk_ml <= (1.0 - headspace_share_min) * capacity_ml;
}

}  // namespace wheymark
