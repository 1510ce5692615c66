// What the acid clock of a jar will show, and how surely: propagated through the air ahead.
//
// The milk follows the expected air exactly; deviations are propagated as a covariance of air, milk
// and clock (the air's deviation is an Ornstein-Uhlenbeck process, and the clock's rate is taken as
// linear in the milk's deviation). It begins at zero, or at what a thermometer in doubt leaves
// unknown. That costs some nanoseconds a step, where an ensemble of paths would cost that for each.
#pragma once

#include <chrono>
#include <cmath>
#include <span>
#include <vector>

#include "core/air/room_habit.hpp"
#include "core/basis/units.hpp"
#include "core/forecast/rate_table.hpp"
#include "core/kinetics/condition.hpp"

namespace wheymark {

// From this instant on the jar stands in this air.
struct StayAhead {
  Instant from;
  AirAhead air;
  double tau_h;
};

class ClockAhead {
 public:
  static constexpr std::chrono::minutes step{5};

  // From `now` on, until even a clock that lags by two standard deviations shows `enough_h`, or
  // limits::forecast_ahead_max is reached. The air is known at `now`, but for doubt in its
  // thermometer.
  ClockAhead(const Condition& now, const AirAhead& air, double tau_h, const RateTable& rates,
             double enough_h);

  // The same along stays to come, at least one, of which the first holds from `now` on, whatever
  // its `from`. The air of each is known where its AirAhead begins, and may have deviated by the
  // time the jar comes there. Instants of moves are rounded to the step.
  ClockAhead(const Condition& now, std::span<const StayAhead> stays, const RateTable& rates,
             double enough_h);

  struct Point {
    double clock_h;
    double variance_h2;
    [[nodiscard]] double sd_h() const { return std::sqrt(variance_h2); }
  };
  // points()[i] is at from() + i * step; there is always the first.
  [[nodiscard]] const std::vector<Point>& points() const { return points_; }
  [[nodiscard]] Instant from() const { return from_; }

 private:
  // Second moments of the deviations of air (a), milk (m) and clock (c) from what is expected.
  struct Doubt {
    double aa = 0.0, am = 0.0, mm = 0.0, ac = 0.0, mc = 0.0, cc = 0.0;
    void step(double kept, double noise_k2, double milk_kept, double rate_slope);
  };
  // Propagates `steps` further; true when the clock shows enough.
  bool propagate(const AirAhead& air, double tau_h, const RateTable& rates, double enough_h,
                 std::size_t steps, Doubt& doubt);

  Instant from_;
  std::vector<Point> points_;
  double milk_c_;
};

}  // namespace wheymark
