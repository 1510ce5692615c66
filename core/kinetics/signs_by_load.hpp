// When will the eye see what, for any mass of grains to the milk between two?
//
// A curve is solved at five loads (grains per millilitre of milk), even in their logarithm, and the
// logarithm of each sign's clock hours is interpolated between them: within a thousandth of a curve
// of its own, and two hundred feedings cost what five do. The volume itself does not matter to the
// curve, only to how fast the milk warms.
#pragma once

#include <array>

#include "core/kinetics/acid_formation.hpp"
#include "core/kinetics/signs.hpp"

namespace wheymark {

class SignsByLoad {
 public:
  // For loads from `least` to `most`, both positive, at most some hundred times apart.
  SignsByLoad(MilkKind milk, Treatment treatment, double least_g_per_ml, double most_g_per_ml,
              const Parameters& parameters);

  // Not outside the two.
  [[nodiscard]] Milestones at(double load_g_per_ml) const;

 private:
  static constexpr std::size_t loads = 5;
  double log_least_;
  double log_step_;
  std::array<Milestones, loads> at_loads_;  // logarithms of the clock hours
};

}  // namespace wheymark
