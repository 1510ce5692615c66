// How does strained kefir go on souring, fizzing and ageing?
//
// Everything is counted in days at 4 degC: a warmer place ages kefir sooner, a colder one is given
// no credit, so that a date is never later than the calendar says. The acid of the cold levels off
// within weeks, the gas goes on. In the warm the milk's own organisms sour it besides, by the
// acid's clock (condition.hpp). It is meant for 0 to 12 degC and two months, and for some days on
// the table; published kefirs and yoghurts differ by a factor of two in their acid and of six in
// their gas.
#pragma once

#include "core/basis/units.hpp"
#include "core/kinetics/buffering.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

inline constexpr double cold_reference_c = 4.0;

// Days at 4 degC that one day at `fridge` counts for: 1 at and below 4 degC, more above. Outside
// -5 to 50 degC no reading is believed, so asking for it is a mistake of ours. NaN for NaN.
double ageing_rate(Celsius fridge, const Parameters& parameters);

// Hours by which kefir that comes from the table is older than the calendar says once a fridge of
// 4 degC has cooled it, along `tau_h`. The dates of common practice allow for this.
double cooling_ages_h(Celsius kefir, double tau_h, const Parameters& parameters);

struct ColdState {
  double acid_g_per_l;
  double ph;
  double acidity_percent;         // titratable, as lactic acid
  double carbon_dioxide_g_per_l;  // formed since the grains are out, for each litre
  double ethanol_g_per_l;         // formed with it
};

// Kefir that would hold `acid_g_per_l` of lactic acid but for the cold's own souring, so many days
// at 4 degC after its grains were taken out. None negative.
ColdState cold_state(const Buffering& milk, double acid_g_per_l, double days,
                     const Parameters& parameters);

// Kefirs differ in their gas: one like most, and one as quick as any.
enum class Fizz { usual, quick };

// The gas alone, g for each litre.
double kept_carbon_dioxide_g_per_l(double days, Fizz fizz, const Parameters& parameters);

// What the yeasts have made of so much added sugar, g for each litre, so many days at 4 degC later:
// at most all of it.
double sugar_carbon_dioxide_g_per_l(double sugar_g_per_l, double days, Fizz fizz,
                                    const Parameters& parameters);

// Days at 4 degC in which half of the sugar has become gas: by common practice it is fizzy.
double sugar_half_gone_days(const Parameters& parameters);

}  // namespace wheymark
