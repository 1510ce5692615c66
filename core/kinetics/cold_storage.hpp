// How does strained kefir go on souring, fizzing and ageing in the fridge?
//
// Everything is counted in days at 4 degC, on the calendar or faster: a warmer fridge ages kefir
// sooner, a colder one is given no credit, so that a date is never later than the calendar says.
// The acid levels off within weeks, the gas goes on. It is meant for 0 to 12 degC and for two
// months; published kefirs and yoghurts differ by a factor of two in their acid and of six in their
// gas.
//
// A bottle's dates go by `ageing_rate`. Nothing published reads `cold_state` yet: tests/reference
// compares it with what was measured of kefirs and yoghurts in storage.
#pragma once

#include "core/basis/units.hpp"
#include "core/kinetics/buffering.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

inline constexpr double cold_reference_c = 4.0;

// Days at 4 degC that one day at `fridge` counts for: 1 at and below 4 degC, more above. Outside
// -5 to 50 degC no reading is believed, so asking for it is a mistake of ours. NaN for NaN.
double ageing_rate(Celsius fridge, const Parameters& parameters);

struct ColdState {
  double ph;
  double acidity_percent;         // titratable, as lactic acid
  double carbon_dioxide_g_per_l;  // formed in the cold, for each litre
  double ethanol_g_per_l;         // formed with it
};

// Kefir that held `acid_g_per_l` of lactic acid when it went in, so many days at 4 degC later. None
// negative.
ColdState cold_state(const Buffering& milk, double acid_g_per_l, double days,
                     const Parameters& parameters);

}  // namespace wheymark
