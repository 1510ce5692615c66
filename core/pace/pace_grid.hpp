// The fixed grid on which every belief about a pace lives, so that beliefs can be multiplied,
// blurred and compared, always with the same bits.
//
// Points are even in ln(pace), from -1.8 to 1.8 (a sixth to six times the reference) in steps of
// 2 %. What is sharper than a step is still kept right in mean and variance; what lies outside the
// ends is no kefir.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

namespace wheymark::pace_grid {

inline constexpr std::size_t size = 181;
inline constexpr double step = 0.02;
inline constexpr double log_pace_max = 1.8;

constexpr double log_pace_at(std::size_t i) {
  return -log_pace_max + step * static_cast<double>(i);
}

// A number for each pace.
using OverPaces = std::array<double, size>;

// The same for storage, at half the size: computed with as OverPaces, and rounded to seven digits,
// where not even three are known.
using KeptOverPaces = std::array<float, size>;

inline KeptOverPaces kept(const OverPaces& weights) {
  KeptOverPaces rounded;
  for (std::size_t i = 0; i < size; ++i) rounded[i] = static_cast<float>(weights[i]);
  return rounded;
}

inline OverPaces taken_up(const KeptOverPaces& kept) {
  OverPaces weights;
  for (std::size_t i = 0; i < size; ++i) weights[i] = kept[i];
  return weights;
}

// A symmetric blur: weights[0] for a point itself, weights[k] for each of its k-th neighbours.
using Blur = std::vector<double>;

// The blur of a normal with this standard deviation of ln(pace); none at all for 0.
Blur normal_blur(double log_sd);

// What falls beyond the ends is lost; the total is kept only inside.
OverPaces blurred(const OverPaces& weights, const Blur& blur);

// Shifted up by `log_shift` in ln(pace), linear between the points; beyond the ends as at the ends.
OverPaces moved(const OverPaces& weights, double log_shift);

}  // namespace wheymark::pace_grid
