// How fast do the grains' organisms work at this temperature?
//
// The cardinal temperature model with inflection: three temperatures that can be read off a
// culture (where it stops in the cold, where it is fastest, where it stops in the heat) and no
// other constant. It says nothing about harm: above max the rate is zero, and comes back when the
// milk cools, although real grains may not.
#pragma once

#include "core/basis/units.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

struct CardinalTemperatures {
  Celsius min;
  Celsius best;  // above the middle of min and max, or the model has a pole
  Celsius max;
};

// The rate as a share of the rate at `best`: 1 there, 0 at and outside min and max, NaN for NaN.
double relative_rate(Celsius t, const CardinalTemperatures& cardinal);

CardinalTemperatures acid_temperatures(const Parameters& parameters);
CardinalTemperatures gas_temperatures(const Parameters& parameters);

// How fast the acid clock (lactic bacteria) runs at `t`: clock hours per hour, 1 at the reference
// temperature.
double acid_rate(Celsius t, const Parameters& parameters);

}  // namespace wheymark
