#include "core/kinetics/signs_by_load.hpp"

#include <algorithm>
#include <cmath>

#include "core/kinetics/acid_curve.hpp"

namespace wheymark {

SignsByLoad::SignsByLoad(MilkKind milk, Treatment treatment, double least_g_per_ml,
                         double most_g_per_ml, const Parameters& parameters)
    : log_least_(std::log(least_g_per_ml)),
      log_step_(std::max(1e-6, std::log(most_g_per_ml / least_g_per_ml) / (loads - 1))) {
  constexpr double litre_ml = 1000.0;
  for (std::size_t i = 0; i < loads; ++i) {
    const double load = std::exp(log_least_ + log_step_ * static_cast<double>(i));
    const Brew brew{milk, treatment, litre_ml, load * litre_ml};
    const Milestones hours = milestones(AcidCurve::solved(brew, parameters), parameters);
    at_loads_[i] = {std::log(hours.thickened_h), std::log(hours.set_h),
                    std::log(hours.peak_opens_h), std::log(hours.peak_closes_h)};
  }
}

// Lagrange's polynomial through the five.
Milestones SignsByLoad::at(double load_g_per_ml) const {
  const double place = std::clamp((std::log(load_g_per_ml) - log_least_) / log_step_, 0.0,
                                  static_cast<double>(loads - 1));
  Milestones sum{0.0, 0.0, 0.0, 0.0};
  for (std::size_t i = 0; i < loads; ++i) {
    double weight = 1.0;
    for (std::size_t j = 0; j < loads; ++j) {
      const auto at_j = static_cast<double>(j);
      if (i != j) weight *= (place - at_j) / (static_cast<double>(i) - at_j);
    }
    if (weight == 0.0) continue;  // a sign that never comes there is infinite
    sum.thickened_h += weight * at_loads_[i].thickened_h;
    sum.set_h += weight * at_loads_[i].set_h;
    sum.peak_opens_h += weight * at_loads_[i].peak_opens_h;
    sum.peak_closes_h += weight * at_loads_[i].peak_closes_h;
  }
  return {std::exp(sum.thickened_h), std::exp(sum.set_h), std::exp(sum.peak_opens_h),
          std::exp(sum.peak_closes_h)};
}

}  // namespace wheymark
