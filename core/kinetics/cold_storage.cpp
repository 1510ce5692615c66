#include "core/kinetics/cold_storage.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/basis/constants.hpp"
#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

constexpr double gas_constant_kj_per_mol_k = gas_constant_j_per_mol_k / 1000.0;
constexpr int simpson_steps = 128;  // even; leaves less than 1e-9 h

}  // namespace

// Arrhenius about 4 degC with the activation energy of kefir's yeasts [gorsek2010], which is our
// estimate for the acid and for the taste too:  exp(E / R (1/T0 - 1/T)), and never below 1.
double ageing_rate(Celsius fridge, const Parameters& p) {
  const double c = fridge.degrees();
  check(!(c < limits::plausible_c_min || c > limits::plausible_c_max),
        "a fridge's temperature is plausible");
  if (std::isnan(c)) return c;
  const double per_k = p.cold_activation_kj_per_mol / gas_constant_kj_per_mol_k;
  return std::exp(std::max(
      0.0, per_k * (1.0 / (cold_reference_c + zero_celsius_k) - 1.0 / (c + zero_celsius_k))));
}

// The kefir comes down to 4 degC as x = exp(-t / tau) goes from 1 to 0, so what it ages beyond the
// hours is  tau * integral of (rate(4 + warmer x) - 1) / x  over x: smooth, by Simpson's rule. At
// x = 0 the quotient is the slope of the rate, warmer E / (R T0^2).
double cooling_ages_h(Celsius kefir, double tau_h, const Parameters& p) {
  const double warmer_k = kefir.degrees() - cold_reference_c;
  if (!(warmer_k > 0.0)) return warmer_k <= 0.0 ? 0.0 : warmer_k;
  constexpr double reference_k = cold_reference_c + zero_celsius_k;
  const auto excess = [&](double x) {
    if (x == 0.0) {
      return warmer_k * p.cold_activation_kj_per_mol /
             (gas_constant_kj_per_mol_k * reference_k * reference_k);
    }
    return (ageing_rate(Celsius(cold_reference_c + warmer_k * x), p) - 1.0) / x;
  };
  double sum = excess(0.0) + excess(1.0);
  for (int i = 1; i < simpson_steps; ++i) {
    sum += (i % 2 == 1 ? 4.0 : 2.0) * excess(static_cast<double>(i) / simpson_steps);
  }
  return tau_h * sum / (3.0 * simpson_steps);
}

double kept_carbon_dioxide_g_per_l(double days, Fizz fizz, const Parameters& p) {
  return p.cold_gas_g_per_l_day * days * (fizz == Fizz::quick ? p.quick_gas_factor : 1.0);
}

// Our own form, after a balance of matter: C12H22O11 + H2O -> 4 C2H5OH + 4 CO2.
double sugar_carbon_dioxide_g_per_l(double sugar_g_per_l, double days, Fizz fizz,
                                    const Parameters& p) {
  const double quicker = fizz == Fizz::quick ? p.quick_gas_factor : 1.0;
  return -carbon_dioxide_g_per_sucrose_g * sugar_g_per_l *
         std::expm1(-days * quicker / p.sugar_gas_days);
}

double sugar_half_gone_days(const Parameters& p) {
  return std::numbers::ln2 * p.sugar_gas_days;
}

// Our own forms. The acid is what yoghurts and kefirs gained in weeks at 4 degC; it levels off as
// their bacteria fail. The gas is linear: [gronnevik2011] it rises through eight weeks.
ColdState cold_state(const Buffering& milk, double acid_g_per_l, double days, const Parameters& p) {
  check(!(acid_g_per_l < 0.0 || days < 0.0), "acid and days are not negative");
  const double acid =
      acid_g_per_l - p.cold_acid_most_g_per_l * std::expm1(-days / p.cold_acid_days);
  const double carbon_dioxide = kept_carbon_dioxide_g_per_l(days, Fizz::usual, p);
  return {acid, milk.ph(acid), milk.acidity_percent(acid), carbon_dioxide,
          ethanol_g_per_carbon_dioxide_g * carbon_dioxide};
}

}  // namespace wheymark
