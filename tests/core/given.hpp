// Values that many tests of the computation share.
#pragma once

#include <chrono>
#include <limits>

#include "core/basis/units.hpp"
#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/buffering.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/kinetics/signs.hpp"
#include "core/kinetics/temperature_response.hpp"

namespace wheymark {

inline const Parameters& p = default_parameters();
inline constexpr double nan = std::numeric_limits<double>::quiet_NaN();

inline constexpr Instant midnight{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1}};
inline constexpr Instant morning = midnight + std::chrono::hours{8};
inline constexpr Instant noon = midnight + std::chrono::hours{12};

// In clock hours.
inline constexpr Milestones some_milestones{10.0, 14.0, 18.0, 26.0};

// How fast the gas clock (yeasts) runs at `t`, as `acid_rate` for the acid clock.
inline double gas_rate(Celsius t, const Parameters& parameters) {
  const CardinalTemperatures gas = gas_temperatures(parameters);
  return relative_rate(t, gas) / relative_rate(Celsius(parameters.reference_c), gas);
}

inline Buffering cow_milk() {
  return {composition(MilkKind::cow_whole), p};
}

}  // namespace wheymark
