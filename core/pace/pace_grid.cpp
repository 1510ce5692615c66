#include "core/pace/pace_grid.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/check.hpp"

namespace wheymark::pace_grid {

Blur normal_blur(double log_sd) {
  check(log_sd >= 0.0, "a spread is not negative");
  const double steps = log_sd / step;
  // Narrower than a step, a sampled normal would lose its variance: three points keep it.
  if (steps < 1.0) return {1.0 - steps * steps, 0.5 * steps * steps};
  Blur blur;
  double total = 0.0;
  const auto reach = static_cast<std::size_t>(std::ceil(4.0 * steps));
  for (std::size_t k = 0; k <= reach; ++k) {
    const double z = static_cast<double>(k) / steps;
    blur.push_back(std::exp(-0.5 * z * z));
    total += k == 0 ? blur[k] : 2.0 * blur[k];
  }
  for (double& weight : blur) weight /= total;
  return blur;
}

OverPaces blurred(const OverPaces& weights, const Blur& blur) {
  // Padded with zeros on both sides, so that the inner loop need not check the ends.
  const std::size_t reach = blur.size() - 1;
  std::vector<double> padded(size + 2 * reach, 0.0);
  std::copy(weights.begin(), weights.end(), padded.begin() + static_cast<std::ptrdiff_t>(reach));
  OverPaces out;
  for (std::size_t i = 0; i < size; ++i) out[i] = blur[0] * weights[i];
  for (std::size_t k = 1; k <= reach; ++k) {
    for (std::size_t i = 0; i < size; ++i) {
      out[i] += blur[k] * (padded[i + reach - k] + padded[i + reach + k]);
    }
  }
  return out;
}

OverPaces moved(const OverPaces& weights, double log_shift) {
  OverPaces out;
  for (std::size_t i = 0; i < size; ++i) {
    const double from = std::clamp(static_cast<double>(i) - log_shift / step, 0.0, size - 1.0);
    const auto below = static_cast<std::size_t>(from);
    const std::size_t above = std::min(below + 1, size - 1);
    out[i] = std::lerp(weights[below], weights[above], from - static_cast<double>(below));
  }
  return out;
}

}  // namespace wheymark::pace_grid
