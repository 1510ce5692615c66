// Is the table the solution of the equations, and does it conserve what they conserve?
#include "core/kinetics/acid_curve.hpp"

#include <array>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>

#include "core/kinetics/milk.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

const double infinity = std::numeric_limits<double>::infinity();

Brew cow(double grain_g, double milk_ml) {
  return {MilkKind::cow_whole, Treatment::pasteurised, milk_ml, grain_g};
}

// Classical Runge-Kutta on biomass and acid, pH by the solver at every stage: another state,
// another method and another route to pH than the curve's own.
class PlainIntegration {
 public:
  explicit PlainIntegration(const Brew& brew) : formation_(brew, p) {}

  void step(double h) {
    const auto k1 = slopes(biomass_, acid_);
    const auto k2 = slopes(biomass_ + h / 2 * k1[0], acid_ + h / 2 * k1[1]);
    const auto k3 = slopes(biomass_ + h / 2 * k2[0], acid_ + h / 2 * k2[1]);
    const auto k4 = slopes(biomass_ + h * k3[0], acid_ + h * k3[1]);
    biomass_ += h / 6 * (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0]);
    acid_ += h / 6 * (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1]);
  }
  [[nodiscard]] double biomass() const { return biomass_; }
  [[nodiscard]] double acid() const { return acid_; }
  [[nodiscard]] double ph() const { return formation_.buffering().ph(acid_); }

 private:
  [[nodiscard]] std::array<double, 2> slopes(double biomass, double acid) const {
    const auto rates = formation_.rates(biomass, acid, formation_.buffering().ph(acid));
    return {rates.biomass_g_per_l_h, rates.acid_g_per_l_h};
  }
  AcidFormation formation_;
  double biomass_ = 0.0;
  double acid_ = 0.0;
};

TEST(AcidCurve, AgreesWithAPlainIntegration) {
  const Brew brews[] = {cow(20, 950),
                        cow(2, 1000),
                        cow(200, 1000),
                        cow(500, 1000),
                        {MilkKind::sheep, Treatment::raw, 500, 20}};
  for (const Brew& brew : brews) {
    const AcidCurve curve = AcidCurve::solved(brew, p);
    PlainIntegration plain(brew);
    const double h = 0.02;
    for (int i = 1; i <= 3000; ++i) {  // sixty hours, on and off the curve's own grid
      plain.step(h);
      if (i % 7 != 0) continue;
      const AcidState state = curve.at(i * h);
      EXPECT_NEAR(state.ph, plain.ph(), 1e-4) << brew.grain_g << " g at " << i * h;
      EXPECT_NEAR(state.acid_g_per_l, plain.acid(), 1e-3) << i * h;
      EXPECT_NEAR(state.biomass_g_per_l, plain.biomass(), 1e-4) << i * h;
    }
  }
}

TEST(AcidCurve, AcidIsWhatTheLactoseThatIsGoneCanGive) {
  const AcidCurve curve = AcidCurve::solved(cow(20, 950), p);
  const double lactose_start = composition(MilkKind::cow_whole).lactose_g_per_l();
  for (double clock_h = 0; clock_h <= 240; clock_h += 3.7) {
    const AcidState state = curve.at(clock_h);
    const double gone = lactose_start - state.lactose_g_per_l;
    EXPECT_NEAR(state.acid_g_per_l, p.acid_from_lactose_g_per_g * gone, 1e-9);
    // One lactose with its water, 360.3 g/mol, is at most four lactic acids, 4 x 90.08 g/mol.
    EXPECT_LE(state.acid_g_per_l, gone * 4 * 90.08 / 342.3 + 1e-12);
  }
}

TEST(AcidCurve, PhAcidAndAcidityBelongTogether) {
  const AcidCurve curve = AcidCurve::solved(cow(20, 950), p);
  const Buffering milk(composition(MilkKind::cow_whole), p);
  for (const double clock_h : {0.0, 4.1, 9.9, 30.3}) {
    const AcidState state = curve.at(clock_h);
    EXPECT_NEAR(milk.ph(state.acid_g_per_l), state.ph, 1e-9);
    EXPECT_NEAR(milk.acidity_percent(state.acid_g_per_l), state.acidity_percent, 1e-12);
  }
}

TEST(AcidCurve, MilkOnlyGetsSourer) {
  for (const MilkRow& row : milk_table()) {
    const AcidCurve curve = AcidCurve::solved({row.kind, Treatment::pasteurised, 950, 20}, p);
    double before = curve.at(0).ph;
    for (double clock_h = 0.05; clock_h < 200; clock_h += 0.05) {
      const double ph = curve.at(clock_h).ph;
      ASSERT_LT(ph, before) << word(row.kind) << ' ' << clock_h;
      before = ph;
    }
  }
}

TEST(AcidCurve, InversionAndLookUpAgree) {
  const AcidCurve curve = AcidCurve::solved(cow(20, 950), p);
  for (double ph = 6.63; ph > 3.8; ph -= 0.0137) {
    EXPECT_NEAR(curve.at(curve.clock_h_at_ph(ph)).ph, ph, 1e-9);
  }
}

TEST(AcidCurve, WhatIsThereAlreadyTakesNoTimeAndWhatNeverComesTakesForever) {
  const AcidCurve curve = AcidCurve::solved(cow(20, 950), p);
  EXPECT_EQ(curve.clock_h_at_ph(6.9), 0.0);
  EXPECT_EQ(curve.clock_h_at_ph(curve.at(0).ph), 0.0);
  EXPECT_EQ(curve.clock_h_at_ph(2.0), infinity);
}

TEST(AcidCurve, WithoutGrainsMilkStaysMilk) {
  const AcidCurve curve = AcidCurve::solved(cow(0, 950), p);
  EXPECT_EQ(curve.at(100).acid_g_per_l, 0.0);
  EXPECT_EQ(curve.clock_h_at_ph(5.2), infinity);
}

TEST(AcidCurve, OutsideTheTableItStaysAtItsEnds) {
  const AcidCurve curve = AcidCurve::solved(cow(20, 950), p);
  EXPECT_EQ(curve.at(-5).ph, composition(MilkKind::cow_whole).ph);
  EXPECT_EQ(curve.at(-5).biomass_g_per_l, 0.0);
  EXPECT_EQ(curve.at(1e6).ph, curve.at(240).ph);
  EXPECT_EQ(curve.at(infinity).ph, curve.at(240).ph);
}

TEST(AcidCurve, MoreGrainsAreNotSlower) {
  for (const MilkRow& row : milk_table()) {
    double before_h = infinity;
    for (double grain_g = 2; grain_g <= 200; grain_g *= 1.5) {
      const double peak_h = AcidCurve::solved({row.kind, Treatment::pasteurised, 1000, grain_g}, p)
                                .clock_h_at_ph(p.peak_opens_ph);
      EXPECT_LT(peak_h, before_h) << word(row.kind) << ' ' << grain_g;
      before_h = peak_h;
    }
  }
}

TEST(AcidCurve, OnlyTheShareOfGrainsMatters) {
  EXPECT_DOUBLE_EQ(AcidCurve::solved(cow(20, 1000), p).clock_h_at_ph(4.5),
                   AcidCurve::solved(cow(40, 2000), p).clock_h_at_ph(4.5));
}

TEST(AcidCurve, UltraPasteurisedMilkStretchesTheClockByItsFactor) {
  const AcidCurve plain = AcidCurve::solved(cow(20, 950), p);
  const AcidCurve ultra =
      AcidCurve::solved({MilkKind::cow_whole, Treatment::ultra_pasteurised, 950, 20}, p);
  const double factor = p.ultra_pasteurised_time_factor;
  EXPECT_NEAR(ultra.clock_h_at_ph(4.5), factor * plain.clock_h_at_ph(4.5), 1e-9);
  EXPECT_NEAR(ultra.at(factor * 8.0).ph, plain.at(8.0).ph, 1e-12);
}

TEST(AcidCurve, DoubtStaysVisible) {
  const AcidCurve curve = AcidCurve::solved(cow(20, 950), p);
  const AcidState state = curve.at(nan);
  for (const double value : {state.acid_g_per_l, state.lactose_g_per_l, state.biomass_g_per_l,
                             state.ph, state.acidity_percent}) {
    EXPECT_TRUE(std::isnan(value));
  }
  EXPECT_TRUE(std::isnan(curve.clock_h_at_ph(nan)));
}

TEST(AcidCurve, ABrewThatCannotBeIsOurMistake) {
  EXPECT_THROW((void)AcidCurve::solved(cow(20, 0), p), BrokenCheck);
  EXPECT_THROW((void)AcidCurve::solved(cow(-1, 950), p), BrokenCheck);
  EXPECT_THROW((void)AcidCurve::solved(cow(nan, 950), p), BrokenCheck);
}

}  // namespace
}  // namespace wheymark
