// Whether a jar is filled so that curd and gas have room.
#pragma once

#include <cmath>
#include <numbers>

namespace wheymark {

// The trade leaves about 5 cm (common practice). A jar's height is only guessed from its capacity,
// so only a jar that has clearly less is mentioned.
inline constexpr double headspace_cm_usual = 5.0;
inline constexpr double headspace_cm_told_below = 3.5;

// The height of air above the milk, >= 0, for a jar twice as high as wide (our estimate: preserving
// jars of half a litre to two litres are 1.7 to 2.2 times as high).
inline double headspace_cm(double milk_ml, double capacity_ml) {
  constexpr double height_per_width = 2.0;
  // capacity = pi/4 width^2 height
  const double width_cm = std::cbrt(4.0 * capacity_ml / (std::numbers::pi * height_per_width));
  return std::fmax(0.0, 1.0 - milk_ml / capacity_ml) * height_per_width * width_cm;
}

}  // namespace wheymark
