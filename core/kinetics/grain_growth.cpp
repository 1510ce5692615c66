#include "core/kinetics/grain_growth.hpp"

#include <algorithm>
#include <cmath>

namespace wheymark {

// Our own form, its rate from [ijm2020]: g1 = g0 exp(k t) while t is within the feeding time.
double grain_after_batch_g(double grain_g, double acid_clock_h, const Parameters& p) {
  check(!(grain_g < 0.0), "grains are not negative");
  if (std::isnan(acid_clock_h)) return acid_clock_h;
  const double growing_h = std::clamp(acid_clock_h, 0.0, p.grain_growth_clock_h_max);
  return grain_g * std::exp(p.grain_growth_per_day * growing_h / 24.0);
}

}  // namespace wheymark
