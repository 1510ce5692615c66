// The one task on which forecasts are measured: three quantiles of a peak's opening and closing,
// three days ahead, in a room with a daily cycle and an uncertain future, for grains whose pace is
// a belief.
#pragma once

#include <chrono>
#include <cmath>
#include <numbers>

#include "core/air/room_habit.hpp"
#include "core/forecast/clock_ahead.hpp"
#include "core/forecast/forecast.hpp"
#include "core/pace/culture_pace.hpp"
#include "core/pace/observation.hpp"

namespace wheymark::forecast_task {

inline constexpr Instant midnight{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1}};
inline constexpr double tau_h = 2.5;
inline constexpr double hours_ahead = 72.0;

// A slow culture in a cold room: the forecast's late end lies three days ahead.
struct Task {
  Parameters parameters;
  RateTable rates{parameters};
  Condition cold{midnight, Celsius(5.0), 0.0, 0.0};
  Milestones milestones{20.0, 25.0, 30.0, 41.0};
  PaceBelief pace = PaceBelief::prior(1.0, 0.15);
  AirAhead air = learned();

  static AirAhead learned() {
    RoomHabit habit;
    Reading last{midnight, Celsius(20.0)};
    for (int i = -7 * 288; i <= 0; ++i) {
      const Instant at = midnight + std::chrono::minutes{5 * i};
      const double phase = 2.0 * std::numbers::pi * static_cast<double>(i) / 288.0;
      last = {at, Celsius(20.0 + 1.5 * std::sin(phase))};
      habit.read(last, std::chrono::minutes{0});
    }
    return habit.ahead(last, std::chrono::minutes{0});
  }

  [[nodiscard]] Forecast made() const {
    const ClockAhead clock(cold, air, tau_h, rates, enough_clock_h(pace, milestones));
    return forecast(ClockTrack(), clock, pace, milestones, parameters);
  }
};

// A batch of two days with one reported sign, and the belief after that report.
struct Report {
  Task task;
  ClockTrack track;

  Report() {
    for (int i = 0; i <= 200; ++i) track.add(midnight + std::chrono::minutes{15 * i}, 0.2 * i);
  }
  [[nodiscard]] PaceBelief weighed() const {
    PaceEvidence evidence;
    const LookedHours looked = [](Instant from, Instant to) { return hours_between(from, to); };
    const Look look(track, midnight + std::chrono::hours{40}, looked);
    weigh_sign(evidence, Sign::whey_pockets, Sign::set, look, task.milestones, task.parameters);
    return task.pace.given(evidence);
  }
};

// A culture that has learned from one batch, and its belief of the batch after another one.
struct Culture {
  Task task;
  PaceEvidence evidence;
  CulturePace learned{task.parameters};

  Culture() {
    evidence.weigh([](double log_pace, SignSpacing spacing) {
      return std::exp(-0.5 * log_pace * log_pace / 0.01) * spacing.before;
    });
    learned.learn(evidence, midnight);
  }
  [[nodiscard]] PaceBelief after_another_batch() const {
    CulturePace culture = learned;
    culture.learn(evidence, midnight + std::chrono::hours{24});
    return culture.of_a_batch(midnight + std::chrono::hours{25});
  }
};

}  // namespace wheymark::forecast_task
