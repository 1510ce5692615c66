// The air ahead, and what the clock will show in it.
#include <cmath>
#include <gtest/gtest.h>
#include <numbers>
#include <random>

#include "core/air/room_habit.hpp"
#include "core/forecast/clock_ahead.hpp"
#include "core/forecast/forecast.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using std::chrono::minutes;

constexpr minutes utc{0};

// 21 degC, warmest (+2 K) at 15:00, coldest at 03:00.
Celsius daily(Instant instant) {
  const double hour = hours_between(midnight, instant);
  return Celsius(21.0 + 2.0 * std::cos(2.0 * std::numbers::pi * (hour - 15.0) / 24.0));
}

RoomHabit after_days(int days) {
  RoomHabit habit;
  for (int i = 0; i < days * 24 * 6; ++i) {
    const Instant at = midnight + minutes{10 * i};
    habit.read({at, daily(at)}, utc);
  }
  return habit;
}

TEST(RoomHabit, BeforeADayIsKnownTheLastReadingGoesOn) {
  RoomHabit habit;
  const Reading last{midnight + std::chrono::hours{3}, Celsius(19.5)};
  habit.read(last, utc);
  const AirAhead ahead = habit.ahead(last, utc);
  EXPECT_EQ(ahead.at(midnight + std::chrono::hours{20}).degrees(), 19.5);
}

TEST(RoomHabit, ADailyCourseIsLearnedWithinAWeekAndForecastHalfADayAhead) {
  const RoomHabit habit = after_days(7);
  const Instant now = midnight + std::chrono::hours{24 * 7 + 15};
  const AirAhead ahead = habit.ahead({now, daily(now)}, utc);
  // Holding the last reading would miss the night by 4 K.
  EXPECT_NEAR(ahead.at(now + std::chrono::hours{12}).degrees(),
              daily(now + std::chrono::hours{12}).degrees(), 1.0);
  EXPECT_NEAR(ahead.at(now).degrees(), daily(now).degrees(), 1e-9);
}

TEST(RoomHabit, AHabitThatHoldsMakesTheForecastSurer) {
  const Instant now = midnight + std::chrono::hours{24 * 14};
  const Reading last{now, daily(now)};
  EXPECT_LT(after_days(14).ahead(last, utc).sd_k, after_days(2).ahead(last, utc).sd_k);
  EXPECT_LT(after_days(2).ahead(last, utc).sd_k, RoomHabit{}.ahead(last, utc).sd_k);
}

TEST(RoomHabit, HourByHourIsTheSameAir) {
  const Instant now = midnight + std::chrono::hours{24 * 7} + minutes{17};
  AirAhead ahead = after_days(7).ahead({now, Celsius(25.0)}, utc);
  ahead.utc_offset = minutes{345};  // Nepal's
  const Instant first = now + minutes{50};
  AirHourByHour hours(ahead, first);
  for (int hour = 0; hour < 100; ++hour) {
    const Instant then = first + std::chrono::hours{hour};
    EXPECT_NEAR(hours.next_c(), ahead.at(then).degrees(), 1e-10) << hour;
  }
}

class ClockInARoom : public testing::Test {
 protected:
  Parameters parameters_;
  RateTable rates_{parameters_};
  Condition cold_start_{midnight, Celsius(5.0), 0.0, 0.0};
  double tau_h_ = 2.5;
};

TEST_F(ClockInARoom, GoesAsTheExactMarchInTheExpectedAir) {
  const Reading last{midnight, Celsius(19.0)};
  AirAhead air = after_days(7).ahead(last, utc);
  const ClockAhead clock(cold_start_, air, tau_h_, rates_, 30.0);

  Condition exact = cold_start_;
  for (int hour = 0; hour < 24; ++hour) {
    const Instant from = midnight + std::chrono::hours{hour};
    exact = advanced(
        exact,
        {from, from + std::chrono::hours{1}, air.at(from), air.at(from + std::chrono::hours{1})},
        tau_h_, parameters_);
  }
  // condition.hpp integrates by Gauss; the trapezoid of five minutes and the table lose seconds.
  EXPECT_NEAR(clock.points().at(24 * 12).clock_h, exact.acid_clock_h, 2e-3);
}

TEST_F(ClockInARoom, IsAsUnsureAsAnEnsembleOfRoomsWouldBe) {
  const AirAhead air = AirAhead::steady({midnight, Celsius(20.0)}, 1.5);
  const ClockAhead clock(cold_start_, air, tau_h_, rates_, 30.0);

  // 4000 rooms whose deviation is an Ornstein-Uhlenbeck process, each propagated by itself.
  std::mt19937_64 engine(7);
  const auto normal = [&] {
    const auto even = [&] { return (static_cast<double>(engine() >> 11U) + 0.5) * 0x1.0p-53; };
    return std::sqrt(-2.0 * std::log(even())) * std::cos(2.0 * std::numbers::pi * even());
  };
  constexpr int rooms = 4000;
  constexpr double step_h = 1.0 / 12.0;
  const double kept = std::exp(-step_h / air_relaxes_h);
  double sum = 0.0;
  double squares = 0.0;
  for (int room = 0; room < rooms; ++room) {
    double deviation_k = 0.0;
    double milk_c = 5.0;
    double clock_h = 0.0;
    for (int step = 0; step < 18 * 12; ++step) {
      deviation_k = kept * deviation_k + 1.5 * std::sqrt(1.0 - kept * kept) * normal();
      milk_c += (20.0 + deviation_k - milk_c) * step_h / tau_h_;
      clock_h += step_h * rates_.at(milk_c).per_h;
    }
    sum += clock_h;
    squares += clock_h * clock_h;
  }
  const double sd_h = std::sqrt(squares / rooms - sum / rooms * sum / rooms);
  // An ensemble of 4000 knows its spread to 1.1 %; linearising and Euler cost some more.
  EXPECT_NEAR(clock.points().at(18 * 12).sd_h(), sd_h, 0.05 * sd_h);
}

// Air and milk are off by d at first; the air's part decays with T, the milk follows with tau, and
// the clock's rate is linear in it: d * slope * (A T (1 - exp(-t/T)) + (1 - A) tau (1 -
// exp(-t/tau))) with A = T / (T - tau).
TEST_F(ClockInARoom, AThermometerInDoubtLeavesSoMuchUnknown) {
  const Condition warm{midnight, Celsius(21.0), 0.0, 0.0};
  AirAhead air = AirAhead::steady({midnight, Celsius(21.0)}, 0.0);
  air.doubt_k = 2.0;
  const ClockAhead clock(warm, air, tau_h_, rates_, 30.0);
  const double slope = rates_.at(21.0).per_h_per_k;
  const double share = air_relaxes_h / (air_relaxes_h - tau_h_);
  for (const double after_h : {2.0, 8.0, 20.0}) {
    const double off_h = -share * air_relaxes_h * std::expm1(-after_h / air_relaxes_h) -
                         (1.0 - share) * tau_h_ * std::expm1(-after_h / tau_h_);
    const auto point = static_cast<std::size_t>(12.0 * after_h);
    EXPECT_NEAR(clock.points().at(point).sd_h(), 2.0 * slope * off_h, 0.03 * 2.0 * slope * off_h);
  }
}

TEST_F(ClockInARoom, AForecastInAKnownRoomIsThePacesOwnSpread) {
  const Condition warm{midnight, Celsius(25.0), 0.0, 0.0};  // here the clock counts hours
  const AirAhead air = AirAhead::steady({midnight, Celsius(25.0)}, 0.0);
  const PaceBelief pace = PaceBelief::prior(1.0, 0.2);
  const Milestones milestones{9.0, 11.0, 14.0, 20.0};
  const ClockAhead clock(warm, air, tau_h_, rates_, enough_clock_h(pace, milestones));
  const Forecast seen = forecast(ClockTrack{}, clock, pace, milestones, parameters_);
  // 14 h / pace; the table and the grid cost a minute.
  EXPECT_NEAR(hours_between(midnight, *seen.peak_opens.p50), 14.0, 0.03);
  EXPECT_NEAR(hours_between(midnight, *seen.peak_opens.p10), 14.0 * std::exp(-0.2 * 1.28155), 0.03);
  EXPECT_NEAR(hours_between(midnight, *seen.peak_opens.p90), 14.0 * std::exp(0.2 * 1.28155), 0.05);
}

TEST_F(ClockInARoom, AnUnsureRoomMakesTheForecastWider) {
  const PaceBelief pace = PaceBelief::prior(1.0, 0.05);
  const Milestones milestones{9.0, 11.0, 14.0, 20.0};
  const auto width_h = [&](double sd_k) {
    const AirAhead air = AirAhead::steady({midnight, Celsius(20.0)}, sd_k);
    const ClockAhead clock(cold_start_, air, tau_h_, rates_, enough_clock_h(pace, milestones));
    const InstantSpread opens =
        forecast(ClockTrack{}, clock, pace, milestones, parameters_).peak_opens;
    return hours_between(*opens.p10, *opens.p90);
  };
  EXPECT_GT(width_h(1.5), 1.1 * width_h(0.0));
}

TEST_F(ClockInARoom, APlaceTooColdToFermentHasNoForecast) {
  const AirAhead air = AirAhead::steady({midnight, Celsius(3.0)}, 0.0);
  const PaceBelief pace = PaceBelief::prior(1.0, 0.2);
  const Milestones milestones{9.0, 11.0, 14.0, 20.0};
  const ClockAhead clock({midnight, Celsius(3.0), 0.0, 0.0}, air, tau_h_, rates_,
                         enough_clock_h(pace, milestones));
  const Forecast seen = forecast(ClockTrack{}, clock, pace, milestones, parameters_);
  EXPECT_FALSE(seen.peak_opens.p50.has_value());
  EXPECT_FALSE(seen.peak_closes.p90.has_value());
}

}  // namespace
}  // namespace wheymark
