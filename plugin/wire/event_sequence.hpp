// The `sequence` extension of CloudEvents: which of two events of this source was announced later?
//
// The number is the millisecond (since 1970) at which the event was handed over, or one more than
// the number before when that is not later. It follows from the journal's entries alone, so it goes
// on after a restart without a write of its own, and a store that had to be made anew still counts
// on from where the old one was.
#pragma once

#include <algorithm>
#include <cstdint>
#include <fmt/format.h>
#include <string>

#include "core/basis/units.hpp"

namespace wheymark {

class EventSequence {
 public:
  // The number of an event that is handed over at this instant.
  std::string next(Instant at) {
    last_ = std::max<std::int64_t>(last_ + 1, at.time_since_epoch().count());
    return fmt::format("{:016}", last_);  // so that texts sort like the numbers
  }

 private:
  std::int64_t last_ = 0;
};

}  // namespace wheymark
