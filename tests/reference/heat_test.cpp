// Is the jar's warming what the textbooks and the heat equation say?
#include "core/kinetics/heat.hpp"

#include <chrono>
#include <cmath>
#include <gtest/gtest.h>
#include <numbers>

#include "core/kinetics/condition.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;
using std::chrono::seconds;

TEST(TextbookHeat, AThermocouplesJunctionFollowsItsGasAsPrinted) {
  // [incropera2007] example 5.1: a sphere of 0.706 mm with 400 W/(m2 K), 8500 kg/m3 and 400 J/(kg
  // K) has a time constant of 1 s and goes from 25 to 199 degC in a gas of 200 degC in 5.2 s.
  const double d_m = 7.06e-4;
  const double tau_h =
      lumped_time_constant_h(8500.0 * 400.0 * std::numbers::pi * std::pow(d_m, 3) / 6,
                             std::numbers::pi * d_m * d_m, 400.0);
  EXPECT_NEAR(tau_h * 3600, 1.0, 0.002);
  const Celsius junction = milk_after(25.0_degC, 200.0_degC, 200.0_degC, 5.2 / 3600, tau_h);
  EXPECT_NEAR(junction.degrees(), 199.0, 0.05);  // the digits printed
}

// A lump needs a Biot number below 0.1 [cengel2007]. Conduction alone would not give it: the milk
// must stir itself, and a litre does, by 1 K of difference. Properties of milk as of water, from
// memory.
TEST(TextbookHeat, AJarIsALumpOnlyBecauseItsMilkStirsItself) {
  const double outside_w_per_m2_k = 9.0, radius_m = 0.05, height_m = 0.12;
  const double conduction_w_per_m_k = 0.55;
  EXPECT_GT(outside_w_per_m2_k * (radius_m / 2) / conduction_w_per_m_k, 0.1);

  // [incropera2007] chapter 9, vertical wall: Nu = 0.59 Ra^(1/4), 1e4 < Ra < 1e9.
  const double rayleigh = 9.81 * 2.1e-4 * 1.0 * std::pow(height_m, 3) / (1.8e-6 * 1.4e-7);
  EXPECT_GT(rayleigh, 1e4);
  EXPECT_LT(rayleigh, 1e9);
  const double inside_w_per_m2_k =
      0.59 * std::pow(rayleigh, 0.25) * conduction_w_per_m_k / height_m;
  EXPECT_LT(outside_w_per_m2_k / inside_w_per_m2_k, 0.1);
}

TEST(TextbookHeat, TheJarsCoefficientIsThatOfStillAirAndWalls) {
  // From the time constant of a brim-full litre back to W/(m2 K): 8 to 11, our estimate for free
  // convection and radiation together. A cylinder 1.5 times as high as wide.
  const double d_m = std::cbrt(4e-3 / (std::numbers::pi * 1.5));
  const double area_m2 =
      std::numbers::pi * d_m * 1.5 * d_m + 1.5 * std::numbers::pi * d_m * d_m / 4;
  const double glass_j_per_k =
      4e-3 * (std::numbers::pi * d_m * 1.5 * d_m + std::numbers::pi * d_m * d_m / 4) * 2500 * 840;
  const double coefficient =
      (1.030 * 3930 + glass_j_per_k) / area_m2 / (jar_time_constant_h(1000, 1000, p) * 3600);
  EXPECT_GT(coefficient, 8.0);
  EXPECT_LT(coefficient, 11.0);
}

// The room as a thermometer reports it, propagated reading by reading.
class Room {
 public:
  template <class Temperature>
  static Celsius milk_after_h(Temperature room_c, seconds reading, double hours, Celsius milk,
                              double tau_h) {
    Condition now{Instant{}, milk, 0, 0};
    while (hours_between(Instant{}, now.at) < hours) {
      const Instant next = now.at + reading;
      now = advanced(now,
                     {now.at, next, Celsius(room_c(hours_between(Instant{}, now.at))),
                      Celsius(room_c(hours_between(Instant{}, next)))},
                     tau_h, p);
    }
    return now.milk;
  }
};

TEST(RoomInTime, ASineIsFollowedToAMillionthOfADegree) {
  // dT/dt = (m + A sin wt - T) / tau: amplitude A / sqrt(1 + w2 tau2), late by atan(w tau).
  const double mean_c = 21, swing_k = 3, w = 2 * std::numbers::pi / 24, tau_h = 2.6, milk_c = 5;
  const double gain = 1 / std::sqrt(1 + w * w * tau_h * tau_h), late = std::atan(w * tau_h);
  for (const double h : {1.0, 6.0, 24.0, 47.0}) {
    const double start = milk_c - mean_c + swing_k * gain * std::sin(late);
    const double expected_c =
        mean_c + swing_k * gain * std::sin(w * h - late) + start * std::exp(-h / tau_h);
    // Straight lines between readings ten seconds apart leave A w2 dt2 / 8 = 2e-7 K of the sine.
    const Celsius milk =
        Room::milk_after_h([&](double t) { return mean_c + swing_k * std::sin(w * t); },
                           seconds{10}, h, Celsius(milk_c), tau_h);
    EXPECT_NEAR(milk.degrees(), expected_c, 1e-6) << h;
  }
}

TEST(RoomInTime, ARampIsFollowedToAMillionthOfADegreeHoweverOftenItIsRead) {
  const double slope = 0.4, room_c = 18, tau_h = 2.3, milk_c = 6, h = 12;
  const double expected_c =
      room_c + slope * (h - tau_h) + (milk_c - room_c + slope * tau_h) * std::exp(-h / tau_h);
  for (const int reading_s : {30, 300, 3600}) {
    const Celsius milk = Room::milk_after_h([&](double t) { return room_c + slope * t; },
                                            seconds{reading_s}, h, Celsius(milk_c), tau_h);
    EXPECT_NEAR(milk.degrees(), expected_c, 1e-6) << reading_s;
  }
}

TEST(RoomInTime, StepsAreFollowedToAMillionthOfADegree) {
  // 20 degC for four hours, then 26 for three, then 17.
  const double tau_h = 2.6;
  const double after_4 = 20 + (5 - 20) * std::exp(-4 / tau_h);
  const double after_7 = 26 + (after_4 - 26) * std::exp(-3 / tau_h);
  const double after_12 = 17 + (after_7 - 17) * std::exp(-5 / tau_h);
  Condition now{Instant{}, 5.0_degC, 0, 0};
  const double steps[][2] = {{20, 4}, {26, 3}, {17, 5}};
  for (const auto& [room_c, hours] : steps) {
    now = advanced(now, {now.at, after_hours(now.at, hours), Celsius(room_c), Celsius(room_c)},
                   tau_h, p);
  }
  EXPECT_NEAR(now.milk.degrees(), after_12, 1e-6);
}

}  // namespace
}  // namespace wheymark
