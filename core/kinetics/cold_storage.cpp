#include "core/kinetics/cold_storage.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/constants.hpp"
#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

constexpr double gas_constant_kj_per_mol_k = gas_constant_j_per_mol_k / 1000.0;

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

// Our own forms. The acid is what yoghurts and kefirs gained in weeks at 4 degC; it levels off as
// their bacteria fail. The gas is linear: [gronnevik2011] it rises through eight weeks.
ColdState cold_state(const Buffering& milk, double acid_g_per_l, double days, const Parameters& p) {
  check(!(acid_g_per_l < 0.0 || days < 0.0), "acid and days are not negative");
  const double acid =
      acid_g_per_l - p.cold_acid_most_g_per_l * std::expm1(-days / p.cold_acid_days);
  const double carbon_dioxide = p.cold_gas_g_per_l_day * days;
  return {milk.ph(acid), milk.acidity_percent(acid), carbon_dioxide,
          ethanol_g_per_carbon_dioxide_g * carbon_dioxide};
}

}  // namespace wheymark
