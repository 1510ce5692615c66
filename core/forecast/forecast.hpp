// When a batch will peak: not an instant, but a spread of instants.
//
// A milestone is reached when pace times clock is the milestone's clock hours. Neither is known:
// the pace is a belief, and the clock ahead depends on a room that may turn out warmer or colder.
// Both are mixed: the chance that a milestone is reached by an instant is that of the pace being
// high enough, averaged over what the clock may show by then.
#pragma once

#include <array>
#include <optional>

#include "core/basis/units.hpp"
#include "core/forecast/clock_ahead.hpp"
#include "core/kinetics/signs.hpp"
#include "core/pace/clock_track.hpp"
#include "core/pace/pace.hpp"

namespace wheymark {

// Ten, fifty and ninety percent. A missing one lies beyond limits::forecast_ahead_max.
struct InstantSpread {
  std::optional<Instant> p10;
  std::optional<Instant> p50;
  std::optional<Instant> p90;
};

struct Forecast {
  InstantSpread peak_opens;
  InstantSpread peak_closes;
};

// The chance that a milestone is reached by some instant.
class Chances {
 public:
  // `ahead` must outlive it. `paces` are the shares of each pace at which the milestone comes.
  Chances(const ClockAhead& ahead, const pace_grid::OverPaces& paces, double milestone_h);

  // By `instant`, not before the clock ahead begins; at its end, held.
  [[nodiscard]] double reached_by(Instant instant) const;
  // When the chance first is `share`; nothing when it is from the start, or never so far ahead.
  [[nodiscard]] std::optional<Instant> instant_of(double share) const;
  [[nodiscard]] double reached_at_start() const { return reached(0); }
  // Over all its paces: what the paces that it was made of add up to.
  [[nodiscard]] double ever() const { return below_.back(); }
  // The clock hours by which the milestone comes with this chance, whatever the room does.
  [[nodiscard]] double clock_h_of(double share) const;

 private:
  [[nodiscard]] double reached(std::size_t point) const;
  [[nodiscard]] double paces_from(double log_pace) const;

  const ClockAhead& ahead_;
  double milestone_h_;
  std::array<double, pace_grid::size + 1> below_;  // the share of paces below each cell's lower end
};

// How far a clock must be propagated for a forecast of this.
double enough_clock_h(const PaceBelief& pace, const Milestones& milestones);

// `past` ends where `ahead` begins, or earlier. Milestones are the reference's; where this
// household's peak closes follows from the belief about its sign spacing.
Forecast forecast(const ClockTrack& past, const ClockAhead& ahead, const PaceBelief& pace,
                  const Milestones& milestones, const Parameters& parameters);

// The milestones as they are believed to come in this household: the reference's, with the believed
// sign spacing round the opening.
Milestones as_believed(const Milestones& reference, const PaceBelief& pace);

}  // namespace wheymark
