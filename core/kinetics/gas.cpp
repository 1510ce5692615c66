#include "core/kinetics/gas.hpp"

#include <cmath>

#include "core/basis/constants.hpp"

namespace wheymark {
namespace {

constexpr double standard_k = 298.15;
constexpr double pa_per_bar = 1e5;
constexpr double reference_load_g_per_l = 40.0;

}  // namespace

// Our own form: a rate that rises over the lag, grows with the load's root, and levels off.
double carbon_dioxide_g_per_l(double gas_clock_h, const Brew& brew, const Parameters& p) {
  check(brew.milk_ml > 0.0 && brew.grain_g >= 0.0, "a brew has milk, and grains or none");
  if (gas_clock_h <= 0.0) return 0.0;
  const double load_g_per_l = brew.grain_g / (brew.milk_ml / 1000.0);
  const double rate_g_per_l_h =
      p.gas_at_40_g_per_l_g_per_l_h *
      std::pow(load_g_per_l / reference_load_g_per_l, p.gas_load_exponent);
  const double working_h = gas_clock_h + p.gas_lag_h * std::expm1(-gas_clock_h / p.gas_lag_h);
  return -p.gas_most_g_per_l * std::expm1(-rate_g_per_l_h * working_h / p.gas_most_g_per_l);
}

// [sander2023] H(T) = H0 exp(B (1/T - 1/298.15 K)); the moles in milk and headspace add up:
//
//   n = P (H V_milk + V_head / (R T))
double tight_jar_gauge_bar(double carbon_dioxide_g_per_l, double milk_ml, double capacity_ml,
                           Celsius milk, const Parameters& p) {
  check(!(milk_ml <= 0.0), "a jar's milk is positive");
  const double T = milk.degrees() + zero_celsius_k;
  const double H = p.gas_solubility_mol_per_m3_pa *
                   std::exp(p.gas_solubility_slope_k * (1.0 / T - 1.0 / standard_k));
  const double V_milk = 1e-6 * milk_ml;
  const double V_head = 1e-6 * (capacity_ml < milk_ml ? 0.0 : capacity_ml - milk_ml);
  const double n = carbon_dioxide_g_per_l * (milk_ml / 1000.0) / carbon_dioxide_g_per_mol;
  return n / (H * V_milk + V_head / (gas_constant_j_per_mol_k * T)) / pa_per_bar;
}

}  // namespace wheymark
