#include "core/forecast/in_time.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace wheymark {
namespace {

// Less than this changes no rank and no percent.
constexpr double chance_min = 1e-4;

}  // namespace

PeakToCome PeakToCome::believed(const PaceBelief& pace, const Milestones& milestones,
                                const Parameters& parameters) {
  const double log_ratio = std::log(milestones.peak_closes_h / milestones.peak_opens_h);
  PeakToCome peak{milestones, pace.over_paces(), {}};
  for (std::size_t a = 0; a < spacings_after.size(); ++a) {
    peak.closing_paces[a] = pace.over_paces_to_closing(log_ratio, parameters.peak_closes_log_sd, a);
  }
  return peak;
}

double chance_in_time(const PeakToCome& peak, const ClockAhead& clock,
                      std::span<const Attended> attended) {
  const Chances opens(clock, peak.opening_paces, peak.milestones.peak_opens_h);
  std::vector<double> opened;  // by the end of each attended time
  for (const Attended& there : attended) {
    opened.push_back(opens.reached_by(there.until));
    if (opened.back() > 1.0 - chance_min) break;
  }
  double missed = 1.0 - opened.back();
  for (const pace_grid::OverPaces& closing_paces : peak.closing_paces) {
    const Chances closes(clock, closing_paces, peak.milestones.peak_closes_h);
    if (closes.ever() < chance_min) continue;
    missed += closes.reached_by(attended.front().from);
    for (std::size_t i = 0; i + 1 < opened.size(); ++i) {
      const double opened_of_these = closes.ever() * opened[i];
      missed += std::max(0.0, closes.reached_by(attended[i + 1].from) - opened_of_these);
    }
  }
  return std::clamp(1.0 - missed, 0.0, 1.0);
}

}  // namespace wheymark
