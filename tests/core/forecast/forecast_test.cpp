// Is the forecast the inversion that it claims to be: pace times clock reaches the milestone?
#include "core/forecast/forecast.hpp"

#include <chrono>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>

#include "core/basis/limits.hpp"
#include "core/kinetics/temperature_response.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;
using namespace std::chrono_literals;

constexpr double jar_tau_h = 2.5;
constexpr double minute_h = 1.0 / 60.0;

// A room that is known to stay as it is.
Forecast in_steady_room(const ClockTrack& past, const Condition& now, Celsius room,
                        const PaceBelief& pace, const Milestones& m = some_milestones) {
  const AirAhead air = AirAhead::steady({now.at, room}, 0.0);
  return forecast(past, {now, air, jar_tau_h, RateTable(p), enough_clock_h(pace, m)}, pace, m, p);
}

// Milk that has the room's temperature from the start: the clock runs at one rate for ever.
Forecast in_constant_room(Celsius room, const PaceBelief& pace,
                          const Milestones& m = some_milestones) {
  return in_steady_room({}, {noon, room, 0.0, 0.0}, room, pace, m);
}

double hours_until(const std::optional<Instant>& instant) {
  return hours_between(noon, instant.value());
}

TEST(Forecast, InAConstantRoomAMilestoneIsReachedWhenPaceTimesRateTimesHoursIsIt) {
  const PaceBelief pace = PaceBelief::prior(1.1, 0.2);
  for (const Celsius room : {18.0_degC, 22.0_degC, 25.0_degC, 30.0_degC}) {
    const Forecast ahead = in_constant_room(room, pace);
    const double rate = acid_rate(room, p);
    // The table of rates is good to 2e-4, the grid of paces to a share of its 2 % steps.
    const auto expect = [&](std::optional<Instant> instant, double share) {
      const double hours = 18.0 / (pace.quantile(share) * rate);
      EXPECT_NEAR(hours_until(instant), hours, 1e-3 * hours);
    };
    expect(ahead.peak_opens.p10, 0.9);
    expect(ahead.peak_opens.p50, 0.5);
    expect(ahead.peak_opens.p90, 0.1);
  }
}

// At the reference temperature the clock counts hours, and the quantiles of the instants are those
// of a log-normal: 18 h / exp(z 0.3).
TEST(Forecast, AtTheReferenceTemperatureTheSpreadIsTheLogNormalsOwn) {
  const Forecast ahead = in_constant_room(Celsius(p.reference_c), PaceBelief::prior(1.0, 0.3));
  EXPECT_NEAR(hours_until(ahead.peak_opens.p50), 18.0, 0.05);
  EXPECT_NEAR(hours_until(ahead.peak_opens.p10), 18.0 / std::exp(1.28155 * 0.3), 0.1);
  EXPECT_NEAR(hours_until(ahead.peak_opens.p90), 18.0 * std::exp(1.28155 * 0.3), 0.1);
}

TEST(Forecast, TheQuantilesAreInOrder) {
  for (const double sd : {0.05, 0.3, 0.6}) {
    for (const double degrees : {12.0, 20.0, 28.0, 38.0}) {
      const Forecast ahead = in_constant_room(Celsius(degrees), PaceBelief::prior(1.0, sd));
      for (const InstantSpread& s : {ahead.peak_opens, ahead.peak_closes}) {
        if (s.p50) {
          EXPECT_LE(*s.p10, *s.p50);
        }
        if (s.p90) {
          EXPECT_LE(*s.p50, *s.p90);
        }
      }
      if (ahead.peak_closes.p50) {
        EXPECT_LT(*ahead.peak_opens.p50, *ahead.peak_closes.p50);
      }
    }
  }
}

TEST(Forecast, ABatchInTheFridgeNeverPeaks) {
  const Forecast ahead = in_constant_room(4.0_degC, PaceBelief::prior(1.0, 0.3));
  EXPECT_FALSE(ahead.peak_opens.p10);
  EXPECT_FALSE(ahead.peak_opens.p50);
  EXPECT_FALSE(ahead.peak_closes.p90);
}

TEST(Forecast, WhatLiesBeyondTheHorizonIsNotKnown) {
  const PaceBelief pace = PaceBelief::prior(1.0, 0.3);
  const double horizon_h =
      std::chrono::duration<double, std::ratio<3600>>(limits::forecast_ahead_max).count();
  const double rate = horizon_h / 18.0;
  // Early enough at the fast end, too late at the slow end.
  const Milestones slow{1.0, 2.0, 18.0 * rate, 19.0 * rate};
  const Forecast ahead = in_constant_room(Celsius(p.reference_c), pace, slow);
  EXPECT_TRUE(ahead.peak_opens.p10);
  EXPECT_FALSE(ahead.peak_opens.p90);
  const double never = std::numeric_limits<double>::infinity();
  const Forecast none = in_constant_room(25.0_degC, pace, {1.0, 2.0, never, never});
  EXPECT_FALSE(none.peak_opens.p10);
  EXPECT_FALSE(none.peak_opens.p50);
}

TEST(Forecast, AMilestoneThatHasPassedKeepsItsInstant) {
  ClockTrack past;
  past.add(noon - 30h, 0.0);
  past.add(noon, 20.0);  // 18 was reached at nine tenths of it
  const Forecast ahead =
      in_steady_room(past, {noon, 20.0_degC, 20.0, 0.0}, 20.0_degC, PaceBelief::prior(1.0, 1e-2));
  EXPECT_NEAR(hours_until(ahead.peak_opens.p50), -3.0, 0.1);
  EXPECT_GT(*ahead.peak_closes.p50, noon);
}

// Cold milk in a warm room: its delay can be integrated by hand, as the clock of a lump that warms
// exponentially, by the midpoint rule with steps of a second.
TEST(Forecast, FridgeColdMilkPeaksLaterByWhatItsWarmingCosts) {
  const Celsius room = 22.0_degC;
  const PaceBelief pace = PaceBelief::prior(1.0, 1e-2);
  const Forecast ahead = in_steady_room({}, {noon, 5.0_degC, 0.0, 0.0}, room, pace);
  double clock_h = 0.0;
  double hours = 0.0;
  const double step_h = 1.0 / 3600.0;
  while (clock_h < 18.0) {
    const double milk = 22.0 - 17.0 * std::exp(-(hours + step_h / 2) / jar_tau_h);
    clock_h += step_h * acid_rate(Celsius(milk), p);
    hours += step_h;
  }
  EXPECT_NEAR(hours_until(ahead.peak_opens.p50), hours, 2 * minute_h);
  EXPECT_GT(hours, 18.0 / acid_rate(room, p) + 1.0);
}

}  // namespace
}  // namespace wheymark
