#include "core/notice/straining.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "core/jar/vessel.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::minutes tried_every{15};
constexpr std::chrono::hours tried_within{48};
// Too early costs a look, too late costs the batch: so it is told early rather than late. Chosen in
// tests/simulation (closed_loop).
constexpr double opened_enough = 0.2;
// Below this, what is said of the night (guidance) is better than straining it far too early.
constexpr double opened_enough_before_a_night = 0.4;
constexpr double closed_too_much = 0.08;
constexpr double too_late_costs = 3.0;
// Of those that are not open yet, this share will be when it is looked at again.
constexpr double opened_meanwhile = 0.5;
constexpr double closed_meanwhile = 0.12;  // where a peak is short it is looked at sooner
constexpr std::chrono::minutes again_after{30};

// The chances that the peak has opened, and that it has closed, by an instant.
class PeakChances {
 public:
  PeakChances(const PeakToCome& peak, const ClockAhead& clock)
      : opens_(clock, peak.opening_paces, peak.milestones.peak_opens_h) {
    for (const pace_grid::OverPaces& paces : peak.closing_paces) {
      closes_.emplace_back(clock, paces, peak.milestones.peak_closes_h);
    }
  }
  [[nodiscard]] double opened(Instant instant) const { return opens_.reached_by(instant); }
  [[nodiscard]] double closed(Instant instant) const {
    double closed = 0.0;
    for (const Chances& closes : closes_) closed += closes.reached_by(instant);
    return closed;
  }

 private:
  Chances opens_;
  std::vector<Chances> closes_;
};

struct Tried {
  Instant at;
  double opened;
  double closed;
  [[nodiscard]] double open() const { return opened - closed; }
  [[nodiscard]] double worth() const { return opened - too_late_costs * closed; }
  [[nodiscard]] bool is_time() const {
    return opened >= opened_enough || closed >= closed_too_much;
  }
};

}  // namespace

std::optional<Straining> best_straining(const Batch& batch, const Household& household, Instant now,
                                        std::span<const Attended> attended) {
  const Fermentation* fermentation = household.fermentation(batch);
  const auto condition = household.condition(batch, now);
  const PlaceAir* air = household.places().air(batch.place());
  if (fermentation == nullptr || !condition || !fermentation->forecast() || air == nullptr ||
      !air->history().last() ||
      !std::isfinite(fermentation->reference_milestones().peak_closes_h)) {
    return std::nullopt;
  }
  const double tau_h =
      time_constant_h(household.setup(), batch.jar(), *batch.start.milk_ml, household.parameters());
  const PeakToCome peak = PeakToCome::believed(
      fermentation->pace(), fermentation->reference_milestones(), household.parameters());
  const ClockAhead clock(*condition, air->ahead(household.setup()), tau_h, household.rates(),
                         enough_clock_h(fermentation->pace(), peak.milestones));
  const PeakChances chances(peak, clock);
  std::vector<Tried> tried;
  for (const Attended& there : attended) {
    const Instant end = std::min(there.until, now + tried_within);
    for (Instant at = std::max(now, there.from); at <= end; at += tried_every) {
      tried.push_back({at, chances.opened(at), chances.closed(at)});
    }
  }
  if (tried.empty()) return std::nullopt;
  auto best =
      std::find_if(tried.begin(), tried.end(), [](const Tried& one) { return one.is_time(); });
  if (best == tried.end()) return std::nullopt;
  // After a night it may be too late: then the evening before is better, if it may be open then.
  if (best != tried.begin() && std::prev(best)->opened >= opened_enough_before_a_night &&
      std::prev(best)->worth() > best->worth()) {
    best = std::prev(best);
  }
  Straining straining{best->at, best->open(), best->at, std::nullopt};
  const double left = 1.0 - best->opened;
  for (auto one = best; one != tried.end(); ++one) {
    if (one->closed > 0.5) break;
    straining.until = one->at;
    const bool later = one->at >= best->at + again_after;
    const bool may_be_over = one->closed >= closed_meanwhile;
    if (later && !straining.again_at &&
        (may_be_over || 1.0 - one->opened <= (1.0 - opened_meanwhile) * left)) {
      straining.again_at = one->at;
    }
  }
  return straining;
}

}  // namespace wheymark
