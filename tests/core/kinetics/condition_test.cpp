// Is a jar's condition propagated along its room as it must be?
#include "core/kinetics/condition.hpp"

#include <chrono>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>

#include "core/kinetics/heat.hpp"
#include "core/kinetics/temperature_response.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;
using std::chrono::minutes;

Condition fresh(Celsius milk) {
  return {noon, milk, 0.0, 0.0};
}

Celsius between(const RoomStretch& s, Instant at) {
  return s.at_from +
         (hours_between(s.from, at) / hours_between(s.from, s.to)) * (s.at_to - s.at_from);
}

Condition in_two(const Condition& from, const RoomStretch& s, Instant cut, double tau_h) {
  const Celsius room = between(s, cut);
  return advanced(advanced(from, {s.from, cut, s.at_from, room}, tau_h, p),
                  {cut, s.to, room, s.at_to}, tau_h, p);
}

// The midpoint rule on a hundred thousand steps, with the analytic milk.
double clock_by_brute_force_h(Celsius milk, const RoomStretch& s, double tau_h,
                              double (*rate)(Celsius, const Parameters&)) {
  const double total_h = hours_between(s.from, s.to);
  const int steps = 100'000;
  double sum = 0.0;
  for (int i = 0; i < steps; ++i) {
    const double h = total_h * (i + 0.5) / steps;
    const Celsius room = s.at_from + (h / total_h) * (s.at_to - s.at_from);
    sum += rate(milk_after(milk, s.at_from, room, h, tau_h), p);
  }
  return sum * total_h / steps;
}

TEST(Condition, AtTheReferenceTemperatureBothClocksCountHours) {
  const Condition end = advanced(
      fresh(25.0_degC), {noon, noon + std::chrono::hours{10}, 25.0_degC, 25.0_degC}, 2.6, p);
  EXPECT_NEAR(end.acid_clock_h, 10.0, 1e-12);
  EXPECT_NEAR(end.gas_clock_h, 10.0, 1e-12);
  EXPECT_EQ(end.at, noon + std::chrono::hours{10});
}

TEST(Condition, ClocksAgreeWithBruteForce) {
  const RoomStretch stretches[] = {{noon, noon + std::chrono::hours{12}, 21.0_degC, 21.0_degC},
                                   {noon, noon + std::chrono::hours{24}, 18.0_degC, 27.0_degC},
                                   {noon, noon + minutes{17}, 30.0_degC, 29.0_degC},
                                   {noon, noon + std::chrono::hours{20}, 30.0_degC, 48.0_degC}};
  for (const RoomStretch& s : stretches) {
    for (const double milk_c : {1.0, 5.0, 21.0, 35.0}) {
      const Condition end = advanced(fresh(Celsius(milk_c)), s, 2.6, p);
      // The midpoint sum itself is good to about 1e-8 h.
      EXPECT_NEAR(end.acid_clock_h, clock_by_brute_force_h(Celsius(milk_c), s, 2.6, acid_rate),
                  1e-7);
      EXPECT_NEAR(end.gas_clock_h, clock_by_brute_force_h(Celsius(milk_c), s, 2.6, gas_rate), 1e-7);
    }
  }
}

TEST(Condition, CuttingAStretchChangesNothing) {
  // Fridge-cold milk crosses both clocks' lower borders, the hot shelf their upper ones.
  const RoomStretch warming{noon, noon + std::chrono::hours{6}, 19.0_degC, 24.0_degC};
  const RoomStretch hot{noon, noon + std::chrono::hours{9}, 35.0_degC, 50.0_degC};
  for (const RoomStretch& s : {warming, hot}) {
    for (const double milk_c : {0.5, 4.0, 20.0}) {
      for (const double tau_h : {0.8, 2.6, 6.0}) {
        const Condition whole = advanced(fresh(Celsius(milk_c)), s, tau_h, p);
        for (const int cut_min : {1, 7, 61, 200, 359}) {
          const Condition parts = in_two(fresh(Celsius(milk_c)), s, noon + minutes{cut_min}, tau_h);
          EXPECT_NEAR(parts.milk.degrees(), whole.milk.degrees(), 1e-9);
          EXPECT_NEAR(parts.acid_clock_h, whole.acid_clock_h, 1e-9) << milk_c << ' ' << cut_min;
          EXPECT_NEAR(parts.gas_clock_h, whole.gas_clock_h, 1e-9) << milk_c << ' ' << cut_min;
        }
      }
    }
  }
}

TEST(Condition, NothingHappensInNoTime) {
  const Condition before{noon, 7.0_degC, 3.0, 4.0};
  const Condition after = advanced(before, {noon, noon, 20.0_degC, 20.0_degC}, 2.6, p);
  EXPECT_EQ(after.milk, before.milk);
  EXPECT_EQ(after.acid_clock_h, 3.0);
  EXPECT_EQ(after.gas_clock_h, 4.0);
}

TEST(Condition, ClocksStandStillInACoolFridge) {
  const Condition end =
      advanced(fresh(2.0_degC), {noon, noon + std::chrono::hours{48}, 2.0_degC, 2.0_degC}, 2.6, p);
  EXPECT_EQ(end.acid_clock_h, 0.0);
  EXPECT_EQ(end.gas_clock_h, 0.0);
}

TEST(Condition, AWarmerRoomIsNotSlowerUpToTheBest) {
  double before_h = -1.0;
  for (double room_c = 5.0; room_c <= p.acid_best_c; room_c += 1.0) {
    const Condition end =
        advanced(fresh(5.0_degC),
                 {noon, noon + std::chrono::hours{12}, Celsius(room_c), Celsius(room_c)}, 2.6, p);
    EXPECT_GT(end.acid_clock_h, before_h) << room_c;
    before_h = end.acid_clock_h;
  }
}

TEST(Condition, DoubtStaysVisible) {
  const Celsius nan(std::numeric_limits<double>::quiet_NaN());
  const Condition end =
      advanced(fresh(20.0_degC), {noon, noon + std::chrono::hours{1}, 20.0_degC, nan}, 2.6, p);
  EXPECT_TRUE(std::isnan(end.milk.degrees()));
  EXPECT_TRUE(std::isnan(end.acid_clock_h));
  EXPECT_TRUE(std::isnan(end.gas_clock_h));
}

TEST(Condition, AStretchThatDoesNotFollowOnIsOurMistake) {
  const Instant later = noon + minutes{1};
  EXPECT_THROW((void)advanced(fresh(5.0_degC),
                              {later, later + std::chrono::hours{1}, 20.0_degC, 20.0_degC}, 2.6, p),
               BrokenCheck);
  EXPECT_THROW((void)advanced(fresh(5.0_degC),
                              {noon, noon - std::chrono::hours{1}, 20.0_degC, 20.0_degC}, 2.6, p),
               BrokenCheck);
}

}  // namespace
}  // namespace wheymark
