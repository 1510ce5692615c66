#include "core/kinetics/heat.hpp"

#include <cmath>
#include <numbers>

#include "core/basis/constants.hpp"

namespace wheymark {
namespace {

constexpr double stefan_boltzmann_w_per_m2_k4 = 5.670374e-8;
constexpr double s_per_h = 3600.0;

}  // namespace

// [cengel2007] chapter 4: tau = C / (h A).
double lumped_time_constant_h(double heat_capacity_j_per_k, double area_m2,
                              double coefficient_w_per_m2_k) {
  return heat_capacity_j_per_k / (coefficient_w_per_m2_k * area_m2) / s_per_h;
}

double jar_time_constant_h(double milk_ml, double capacity_ml, const Parameters& p) {
  check(!(milk_ml <= 0.0), "a jar's milk is positive");
  const double inside_m3 = 1e-6 * (capacity_ml < milk_ml ? milk_ml : capacity_ml);
  const double milk_m3 = 1e-6 * milk_ml;

  const double diameter_m =
      std::cbrt(4.0 * inside_m3 / (std::numbers::pi * p.jar_height_per_diameter));
  const double base_m2 = std::numbers::pi * diameter_m * diameter_m / 4.0;
  const double height_m = p.jar_height_per_diameter * diameter_m;
  const double milk_height_m = milk_m3 / base_m2;

  // All the glass counts as heat, but only the wall beside the milk, the milk's own surface and
  // what the counter leaves of the base let it through.
  const double glass_m3 =
      1e-3 * p.glass_thickness_mm * (std::numbers::pi * diameter_m * height_m + base_m2);
  const double capacity_j_per_k =
      1e6 * (milk_m3 * p.milk_density_g_per_ml * p.milk_specific_heat_j_per_g_k +
             glass_m3 * p.glass_density_g_per_ml * p.glass_specific_heat_j_per_g_k);
  const double area_m2 =
      std::numbers::pi * diameter_m * milk_height_m + base_m2 + p.base_exposed_share * base_m2;

  // [cengel2007] chapter 9, simplified relation for a vertical wall in laminar air. The
  // temperature difference is held at its typical value: its fourth root moves h by a tenth, and
  // a constant h is what makes the solution exact.
  const double convection =
      p.convection_w_per_m2_k * std::sqrt(std::sqrt(p.convection_difference_k / milk_height_m));
  // [cengel2007] chapter 1, radiation made linear about the mean surface temperature.
  const double surface_k = p.surface_mean_c + zero_celsius_k;
  const double radiation =
      4.0 * p.emissivity_share * stefan_boltzmann_w_per_m2_k4 * surface_k * surface_k * surface_k;

  return lumped_time_constant_h(capacity_j_per_k, area_m2, convection + radiation);
}

// dT/dt = (R(t) - T) / tau with R linear. With x = hours / tau,
//
//   T = R1 + (T0 - R0) e^-x - (R1 - R0) (1 - e^-x) / x
Celsius milk_after(Celsius milk, Celsius room_from, Celsius room_to, double hours, double tau_h) {
  check(!(hours < 0.0), "milk is followed forwards");
  check(!(tau_h <= 0.0), "a jar's time constant is positive");
  const double x = hours / tau_h;
  const double gone = -std::expm1(-x);  // 1 - e^-x, keeping its digits in a short step
  const double mean_gone = x == 0.0 ? 1.0 : gone / x;
  return room_to + (1.0 - gone) * (milk - room_from) + mean_gone * (room_from - room_to);
}

}  // namespace wheymark
