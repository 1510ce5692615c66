#include "core/pace/usual_hours.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// Such a ratio of squares to their degrees of freedom comes by chance once in a hundred times for
// two of them, and less often for more (chi-square of one degree of freedom).
constexpr double by_chance_max = 6.63;

}  // namespace

// The weighted mean; where the parts scatter more than their own spreads, these grow by the ratio
// (Birge 1932, from memory, as tables of physical constants do).
UsualTogether together(std::span<const UsualShown> shown, const Parameters& parameters) {
  check(!shown.empty(), "something is told as usual");
  double weights = 0.0;
  double mean = 0.0;
  for (const UsualShown& one : shown) {
    const double weight = 1.0 / (one.log_sd * one.log_sd);
    weights += weight;
    mean += weight * one.log_pace;
  }
  mean /= weights;
  double squares = 0.0;
  for (const UsualShown& one : shown) {
    const double z = (one.log_pace - mean) / one.log_sd;
    squares += z * z;
  }
  const double ratio = shown.size() < 2 ? 0.0 : squares / static_cast<double>(shown.size() - 1);
  const double own_log_sd = std::sqrt(std::max(1.0, ratio) / weights);
  return {mean, std::hypot(own_log_sd, parameters.usual_shared_log_sd), ratio > by_chance_max};
}

PaceEvidence evidence_of(const UsualTogether& usual) {
  PaceEvidence evidence;
  evidence.weigh_by(&SignSpacing::after, [&](double log_pace, double) {
    const double z = (log_pace - usual.log_pace) / usual.log_sd;
    return std::exp(-0.5 * z * z);
  });
  return evidence;
}

}  // namespace wheymark
