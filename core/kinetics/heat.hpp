// How warm is the milk, when the room is what the thermometer says?
//
// The jar is one lump: milk and glass at one temperature, warmed through its surface by still air
// and by radiation from the walls. Milk in a jar stirs itself while it warms, so this holds for
// jars up to some litres; it stops being true for a vat, in the sun, in a draught or on a heater,
// which is why a probe in the jar may overrule it.
#pragma once

#include "core/basis/units.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// Hours in which a lump comes 63 % closer to what surrounds it. All positive.
double lumped_time_constant_h(double heat_capacity_j_per_k, double area_m2,
                              double coefficient_w_per_m2_k);

// That of a cylindrical glass jar standing in still air; 2.3 to 2.9 h for a litre. `milk_ml` must
// be positive. A jar that is said to hold less than its milk is taken as brim-full. NaN for NaN.
double jar_time_constant_h(double milk_ml, double capacity_ml, const Parameters& parameters);

// The milk `hours` (not negative) later, while the room goes linearly from `room_from` to
// `room_to`: the exact solution, so the number of steps does not matter. NaN for NaN.
Celsius milk_after(Celsius milk, Celsius room_from, Celsius room_to, double hours, double tau_h);

}  // namespace wheymark
