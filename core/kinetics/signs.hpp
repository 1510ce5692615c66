// When will the eye see what, on the acid clock?
//
// Each sign is a pH at which it shows on average; the spreads in the parameters say how far real
// jars and real eyes scatter around that.
#pragma once

#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// Acid-clock hours at pace 1; +infinity for a sign that never comes. In this order.
struct Milestones {
  double thickened_h;
  double set_h;
  double peak_opens_h;   // the first whey pockets
  double peak_closes_h;  // a clear layer of whey: over-fermented
};

Milestones milestones(const AcidCurve& curve, const Parameters& parameters);

}  // namespace wheymark
