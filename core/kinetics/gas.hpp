// How much carbon dioxide has formed, and how hard does it press in a tight jar?
//
// Rough, and meant to be: published kefirs differ by a factor of five in their alcohol, and with it
// in their gas. Good enough to say long before glass is in doubt that a lid should be vented, never
// to say that a jar is safe.
#pragma once

#include "core/basis/units.hpp"
#include "core/kinetics/acid_formation.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// Formed since the start, g for each litre of milk, after so many hours on the gas clock. Nothing
// before clock 0; levels off when the yeasts run out of what they like. NaN for NaN.
double carbon_dioxide_g_per_l(double gas_clock_h, const Brew& brew, const Parameters& parameters);

// Pressure above the air's, bar, when so much carbon dioxide is shut in with the milk: shared
// between milk (Henry) and headspace (ideal gas) at one temperature. A brim-full jar has no
// headspace, so all of it stays in the milk. Milk positive. NaN for NaN.
double tight_jar_gauge_bar(double carbon_dioxide_g_per_l, double milk_ml, double capacity_ml,
                           Celsius milk, const Parameters& parameters);

}  // namespace wheymark
