// Which old readings are worth keeping?
//
// All of the last week, because batches are followed and late facts are folded by them. Of the two
// months before that, those that differ: the line between them is then never wrong by more than a
// thermometer's noise, and what a place does in a day stays visible. Of earlier ones, some a day.
#pragma once

#include <chrono>
#include <cmath>
#include <map>

#include "core/basis/units.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

class Thinning {
 public:
  explicit Thinning(Instant now) : now_(now) {}

  static constexpr std::chrono::days all_of{7};

  // Readings older than all_of, in the order of the journal. Thinning again keeps the same.
  bool keeps(const PlaceId& place, Instant at, Celsius air) {
    const auto last = last_kept_.find(place);
    const bool keeps = last == last_kept_.end() || differs(last->second, {at, air});
    if (keeps) last_kept_.insert_or_assign(place, KeptReading{at, air});
    return keeps;
  }

 private:
  struct KeptReading {
    Instant at;
    Celsius air;
  };
  [[nodiscard]] bool differs(const KeptReading& last, const KeptReading& next) const {
    const bool is_very_old = next.at < now_ - std::chrono::days{60};
    if (next.at < last.at) return true;  // a clock was set back
    if (is_very_old) return next.at - last.at >= std::chrono::hours{3};
    return next.at - last.at >= std::chrono::minutes{30} ||
           std::abs((next.air - last.air).kelvin()) > 0.15;
  }

  Instant now_;
  std::map<PlaceId, KeptReading> last_kept_;
};

}  // namespace wheymark
