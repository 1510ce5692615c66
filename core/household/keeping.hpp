// How long strained kefir is kept in the fridge: dates by common practice, not a promise.
#pragma once

#include <chrono>

#include "core/basis/units.hpp"
#include "core/household/batch.hpp"

namespace wheymark {

// Two and three weeks at 4 degC from the day it was first stored (common practice).
inline constexpr std::chrono::days best_by_after{14};
inline constexpr std::chrono::days last_day_after{21};

inline Instant best_by(const Batch& stored) {
  return stored.stored.front().at + best_by_after;
}
inline Instant last_day(const Batch& stored) {
  return stored.stored.front().at + last_day_after;
}

}  // namespace wheymark
