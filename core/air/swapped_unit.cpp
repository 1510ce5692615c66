#include "core/air/swapped_unit.hpp"

#include <array>
#include <cmath>

#include "core/basis/constants.hpp"

namespace wheymark {
namespace {

constexpr double near_k = 3.0;  // of what was last believed: a place hardly moves further
constexpr double home_c_min = 0.0;
constexpr double home_c_max = 35.0;

}  // namespace

std::optional<SwappedUnit> swapped_unit(Celsius says, std::optional<Celsius> last) {
  const double c = says.degrees();
  const std::array candidates{
      SwappedUnit{"Fahrenheit", Celsius((c - 32.0) / 1.8)},  // taken for Celsius
      SwappedUnit{"Kelvin", Celsius(c - zero_celsius_k)},    // taken for Celsius
      SwappedUnit{"Celsius", Celsius(1.8 * c + 32.0)},       // taken for Fahrenheit
      SwappedUnit{"Celsius", Celsius(c + zero_celsius_k)}};  // taken for Kelvin
  for (const SwappedUnit& candidate : candidates) {
    const double air_c = candidate.air.degrees();
    const bool makes_sense = last ? std::abs(air_c - last->degrees()) <= near_k
                                  : air_c >= home_c_min && air_c <= home_c_max;
    if (makes_sense) return candidate;
  }
  return std::nullopt;
}

}  // namespace wheymark
