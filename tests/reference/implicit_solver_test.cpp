// Does a solver of another kind give the same curves?
//
// The library steps explicitly with an adaptive pair of order five. Here: the implicit trapezoid,
// each step solved by Newton's method, on two meshes and extrapolated to order four.
#include <array>
#include <cmath>
#include <gtest/gtest.h>

#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/milk.hpp"
#include "tests/core/given.hpp"
#include "tests/reference/random_batches.hpp"

namespace wheymark::published {
namespace {

using State = std::array<double, 2>;  // biomass, pH

class Trapezoid {
 public:
  explicit Trapezoid(const Brew& brew)
      : formation_(brew, p), now_{0.0, formation_.buffering().start_ph()}, slope_(slopes(now_)) {}

  void step(double h) {
    State next{now_[0] + h * slope_[0], now_[1] + h * slope_[1]};
    for (int i = 0; i < 12; ++i) {
      const State f = slopes(next);
      const State off{next[0] - now_[0] - h / 2 * (slope_[0] + f[0]),
                      next[1] - now_[1] - h / 2 * (slope_[1] + f[1])};
      std::array<State, 2> by;  // the slopes' derivatives, by differences
      for (std::size_t k = 0; k < 2; ++k) {
        State moved = next;
        moved[k] += 1e-7;
        const State g = slopes(moved);
        by[k] = {(g[0] - f[0]) / 1e-7, (g[1] - f[1]) / 1e-7};
      }
      const double a = 1 - h / 2 * by[0][0], b = -h / 2 * by[1][0];
      const double c = -h / 2 * by[0][1], d = 1 - h / 2 * by[1][1];
      const double determinant = a * d - b * c;
      const State change{(d * off[0] - b * off[1]) / determinant,
                         (a * off[1] - c * off[0]) / determinant};
      next = {next[0] - change[0], next[1] - change[1]};
      if (std::abs(change[0]) + std::abs(change[1]) < 1e-13) break;
    }
    now_ = next;
    slope_ = slopes(now_);
  }
  [[nodiscard]] double biomass() const { return now_[0]; }
  [[nodiscard]] double ph() const { return now_[1]; }

 private:
  [[nodiscard]] State slopes(const State& y) const {
    const Buffering& milk = formation_.buffering();
    const auto rates = formation_.rates(y[0], milk.acid_g_per_l(y[1]), y[1]);
    return {rates.biomass_g_per_l_h, rates.acid_g_per_l_h / milk.acid_slope_g_per_l_per_ph(y[1])};
  }
  AcidFormation formation_;
  State now_;
  State slope_;
};

TEST(AnImplicitSolver, AgreesOnTwoHundredRandomBatches) {
  constexpr double h = 0.1;
  double worst_ph = 0;
  for (const RandomBatch& batch : random_batches()) {
    const AcidCurve curve = AcidCurve::solved(batch.brew, p);
    const double pace = milk_pace(batch.brew.milk, batch.brew.treatment, p);
    Trapezoid coarse(batch.brew), fine(batch.brew);
    for (int i = 1; i <= 480; ++i) {  // two days at the reference temperature
      coarse.step(h);
      fine.step(h / 2);
      fine.step(h / 2);
      if (i % 16 != 0) continue;
      const AcidState state = curve.at(i * h / pace);
      const double ph = (4 * fine.ph() - coarse.ph()) / 3;
      const double biomass = (4 * fine.biomass() - coarse.biomass()) / 3;
      worst_ph = std::max(worst_ph, std::abs(state.ph - ph));
      // The table is promised to 1e-4 pH; the extrapolated trapezoid is better than that.
      ASSERT_NEAR(state.ph, ph, 1e-4) << batch.brew.grain_g << " g at " << i * h;
      ASSERT_NEAR(state.biomass_g_per_l, biomass, 2e-4) << i * h;
    }
  }
  EXPECT_GT(worst_ph, 0.0);  // two methods never agree to the last digit
}

}  // namespace
}  // namespace wheymark::published
