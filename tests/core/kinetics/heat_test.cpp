// Does the milk warm as physics says it must?
#include "core/kinetics/heat.hpp"

#include <cmath>
#include <gtest/gtest.h>
#include <numbers>

#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using namespace literals;

template <class A, class B>
concept Addable = requires(A a, B b) {
  a + b;
};

static_assert(Addable<Celsius, KelvinDifference>);
static_assert(!Addable<Celsius, Celsius>, "two temperatures have no sum");
static_assert(!Addable<KelvinDifference, double>, "a bare number is no temperature difference");

TEST(Heat, AStepInTheRoomFollowsTheAnalyticSolution) {
  for (const double h : {0.0, 0.01, 0.25, 1.0, 2.6, 10.0, 72.0}) {
    const double expected_c = 21.0 - 16.0 * std::exp(-h / 2.6);
    EXPECT_NEAR(milk_after(5.0_degC, 21.0_degC, 21.0_degC, h, 2.6).degrees(), expected_c, 1e-6);
  }
}

TEST(Heat, ARampInTheRoomFollowsTheAnalyticSolution) {
  // T = R0 + s (t - tau) + (T0 - R0 + s tau) exp(-t / tau), for a room R0 + s t.
  const double tau_h = 2.3, slope_k_per_h = -0.7, room_c = 24.0, milk_c = 6.0;
  for (const double h : {1e-6, 0.1, 1.0, 5.0, 24.0}) {
    const double expected_c = room_c + slope_k_per_h * (h - tau_h) +
                              (milk_c - room_c + slope_k_per_h * tau_h) * std::exp(-h / tau_h);
    const Celsius milk =
        milk_after(Celsius(milk_c), Celsius(room_c), Celsius(room_c + slope_k_per_h * h), h, tau_h);
    EXPECT_NEAR(milk.degrees(), expected_c, 1e-6) << h;
  }
}

TEST(Heat, MilkFollowsASteadyRampOneTimeConstantBehind) {
  // After 20 time constants the start is forgotten (e^-20 = 2e-9 of 15 K).
  const Celsius milk = milk_after(5.0_degC, 20.0_degC, 30.0_degC, 40.0, 2.0);
  EXPECT_NEAR(milk.degrees(), 30.0 - 0.25 * 2.0, 1e-6);
}

TEST(Heat, AnInstantChangesNothing) {
  EXPECT_DOUBLE_EQ(milk_after(5.0_degC, 20.0_degC, 30.0_degC, 0.0, 2.0).degrees(), 5.0);
}

TEST(Heat, TheTextbooksGlassOfMilkIsWarmInItsTime) {
  // [cengel2007] chapter 4, the warming of milk: a cylinder of 3 cm radius and 7 cm height, all
  // sides in water of 60 degC with 120 W/(m2 K), from 3 to 38 degC. Printed: 0.002738 /s, 348 s.
  const double volume_m3 = std::numbers::pi * 0.03 * 0.03 * 0.07;
  const double area_m2 = 2 * std::numbers::pi * 0.03 * 0.07 + 2 * std::numbers::pi * 0.03 * 0.03;
  const double tau_h = lumped_time_constant_h(998.0 * 4182.0 * volume_m3, area_m2, 120.0);
  EXPECT_NEAR(1.0 / (tau_h * 3600.0), 0.002738, 1e-6);  // the digits printed
  const Celsius milk = milk_after(3.0_degC, 60.0_degC, 60.0_degC, 348.0 / 3600.0, tau_h);
  EXPECT_NEAR(milk.degrees(), 38.0, 0.05);  // half a second of 348
}

TEST(Heat, AJarOfALitreNeedsBetweenTwoAndThreeHours) {
  // Our estimate from geometry, 8 to 11 W/(m2 K) and 3.93 J/(g K): 2.3 to 2.9 h.
  EXPECT_GT(jar_time_constant_h(950, 1250, p), 2.3);
  EXPECT_LT(jar_time_constant_h(950, 1250, p), 2.9);
  EXPECT_GT(jar_time_constant_h(1000, 1000, p), 2.3);
  EXPECT_LT(jar_time_constant_h(1000, 1000, p), 2.9);
}

TEST(Heat, MoreMilkIsNotWarmSooner) {
  double before_h = 0.0;
  for (double milk_ml = 100; milk_ml <= 4000; milk_ml += 50) {
    const double tau_h = jar_time_constant_h(milk_ml, 4000, p);
    EXPECT_GT(tau_h, before_h) << milk_ml;
    before_h = tau_h;
  }
}

TEST(Heat, AJarSaidTooSmallForItsMilkIsBrimFull) {
  EXPECT_DOUBLE_EQ(jar_time_constant_h(1000, 700, p), jar_time_constant_h(1000, 1000, p));
}

TEST(Heat, DoubtStaysVisible) {
  EXPECT_TRUE(std::isnan(milk_after(Celsius(nan), 20.0_degC, 20.0_degC, 1, 2).degrees()));
  EXPECT_TRUE(std::isnan(milk_after(5.0_degC, Celsius(nan), 20.0_degC, 1, 2).degrees()));
  EXPECT_TRUE(std::isnan(milk_after(5.0_degC, 20.0_degC, Celsius(nan), 1, 2).degrees()));
  EXPECT_TRUE(std::isnan(milk_after(5.0_degC, 20.0_degC, 20.0_degC, nan, 2).degrees()));
  EXPECT_TRUE(std::isnan(jar_time_constant_h(nan, 1000, p)));
  EXPECT_TRUE(std::isnan(jar_time_constant_h(900, nan, p)));
}

TEST(Heat, NonsenseIsOurMistake) {
  EXPECT_THROW((void)milk_after(5.0_degC, 20.0_degC, 20.0_degC, -1, 2), BrokenCheck);
  EXPECT_THROW((void)milk_after(5.0_degC, 20.0_degC, 20.0_degC, 1, 0), BrokenCheck);
  EXPECT_THROW((void)jar_time_constant_h(0, 1000, p), BrokenCheck);
}

}  // namespace
}  // namespace wheymark
