// Evidence of a pace whose likelihood is a normal curve of ln(pace).
#pragma once

#include <cmath>

#include "core/pace/pace_evidence.hpp"

namespace wheymark {

inline PaceEvidence bell(double log_pace, double log_sd) {
  PaceEvidence evidence;
  evidence.weigh([=](double x, SignSpacing) {
    return std::exp(-0.5 * (x - log_pace) * (x - log_pace) / (log_sd * log_sd));
  });
  return evidence;
}

}  // namespace wheymark
