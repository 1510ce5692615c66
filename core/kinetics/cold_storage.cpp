#include "core/kinetics/cold_storage.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/basis/constants.hpp"
#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

constexpr double gas_constant_kj_per_mol_k = gas_constant_j_per_mol_k / 1000.0;
constexpr double panel_k_max = 2.0;

// Three-point Gauss-Legendre (DLMF 3.5) of the rate over a change of temperature, as its mean.
double mean_rate(double from_c, double to_c, const Parameters& p) {
  static const double point = std::sqrt(0.6);
  const double middle_c = 0.5 * (from_c + to_c);
  const double half_k = 0.5 * (to_c - from_c);
  return (5.0 * ageing_rate(Celsius(middle_c - point * half_k), p) +
          8.0 * ageing_rate(Celsius(middle_c), p) +
          5.0 * ageing_rate(Celsius(middle_c + point * half_k), p)) /
         18.0;
}

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

double effective_days(double days, Celsius fridge_from, Celsius fridge_to, const Parameters& p) {
  check(!(days < 0.0), "kefir is followed forwards");
  const double from_c = fridge_from.degrees();
  const double to_c = fridge_to.degrees();
  const double rate_from = ageing_rate(fridge_from, p);
  const double rate_to = ageing_rate(fridge_to, p);
  if (std::isnan(rate_from) || std::isnan(rate_to)) return rate_from + rate_to;
  if (from_c == to_c) return days * rate_from;

  // The rate has a kink at 4 degC, where the stretch is cut.
  const double share = std::clamp((cold_reference_c - from_c) / (to_c - from_c), 0.0, 1.0);
  const std::array<double, 3> cuts{0.0, share, 1.0};
  double sum = 0.0;
  for (std::size_t i = 0; i < 2; ++i) {
    const double length = cuts[i + 1] - cuts[i];
    const int panels =
        std::max(1, static_cast<int>(std::ceil(length * std::abs(to_c - from_c) / panel_k_max)));
    for (int k = 0; k < panels; ++k) {
      const auto at = [&](int panel) {
        return std::lerp(from_c, to_c, cuts[i] + length * panel / panels);
      };
      sum += length / panels * mean_rate(at(k), at(k + 1), p);
    }
  }
  return days * sum;
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
