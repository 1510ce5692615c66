#include "core/forecast/in_time.hpp"

#include <algorithm>
#include <cmath>

namespace wheymark {

Milestones counted_on(const Milestones& milestones) {
  Milestones counted = milestones;
  const double ratio = milestones.peak_closes_h / milestones.peak_opens_h;
  counted.peak_closes_h = milestones.peak_opens_h * std::pow(ratio, peak_counted_share);
  return counted;
}

double chance_in_time(const Chances& opens, const Chances& closes,
                      std::span<const Attended> attended) {
  // Less than this changes no rank and no percent.
  constexpr double still_open_min = 1e-4;
  double missed = closes.reached_by(attended.front().from);
  double opened = 0.0;
  for (std::size_t i = 0; i < attended.size(); ++i) {
    opened = opens.reached_by(attended[i].until);
    if (i + 1 == attended.size() || opened > 1.0 - still_open_min) break;
    missed += std::max(0.0, closes.reached_by(attended[i + 1].from) - opened);
  }
  missed += 1.0 - opened;
  return std::clamp(1.0 - missed, 0.0, 1.0);
}

}  // namespace wheymark
