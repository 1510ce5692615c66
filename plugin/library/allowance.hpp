// How much of something is allowed: a burst at once, and then so much an hour.
//
// For what comes from outside and costs the disk or the log. Counts by the instants that it is
// given; a step of the clock back neither costs nor gives any.
#pragma once

#include <algorithm>

#include "core/basis/units.hpp"

namespace wheymark {

class Allowance {
 public:
  Allowance(double burst, double per_h) : burst_(burst), per_h_(per_h), left_(burst) {}

  // Whether there is one left; then it is used up.
  bool allows(Instant now) {
    left_ = std::min(burst_, left_ + per_h_ * std::max(0.0, hours_between(last_, now)));
    last_ = now;
    if (left_ < 1.0) return false;
    left_ -= 1.0;
    return true;
  }

 private:
  double burst_;
  double per_h_;
  double left_;
  Instant last_{};
};

}  // namespace wheymark
