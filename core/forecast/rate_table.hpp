// How fast the acid clock runs at a temperature, as a table: a forecast asks a thousand times.
//
// Linear between points a tenth of a kelvin apart, which is within 2e-4 of the model; outside what
// a thermometer may plausibly say, the ends hold.
#pragma once

#include <vector>

#include "core/kinetics/parameters.hpp"

namespace wheymark {

class RateTable {
 public:
  explicit RateTable(const Parameters& parameters);

  struct Rate {
    double per_h;        // clock hours per hour
    double per_h_per_k;  // how that grows with temperature
  };
  [[nodiscard]] Rate at(double milk_c) const {
    double place = (milk_c - first_c) * points_per_k;
    place = place > 0.0 ? (place < last_place_ ? place : last_place_) : 0.0;
    const int left = static_cast<int>(place);  // signed: a conversion in one instruction
    const double* rates = rates_.data() + left;
    const double a = rates[0];
    const double step = rates[1] - a;
    return {a + (place - static_cast<double>(left)) * step, step * points_per_k};
  }

 private:
  static constexpr double first_c = -5.0;
  static constexpr double points_per_k = 10.0;

  std::vector<double> rates_;
  double last_place_ = 0.0;
};

}  // namespace wheymark
