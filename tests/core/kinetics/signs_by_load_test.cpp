// Interpolated between five loads, the signs are those of a curve solved for the jar itself.
#include "core/kinetics/signs_by_load.hpp"

#include <gtest/gtest.h>

#include "core/kinetics/acid_curve.hpp"

namespace wheymark {
namespace {

TEST(SignsByLoad, AreThoseOfTheJarsOwnCurve) {
  const Parameters parameters = default_parameters();
  const SignsByLoad by_load(MilkKind::goat, Treatment::raw, 0.005, 0.08, parameters);
  for (const double load : {0.005, 0.007, 0.013, 0.0211, 0.035, 0.06, 0.08}) {
    for (const double milk_ml : {400.0, 1900.0}) {
      const Brew brew{MilkKind::goat, Treatment::raw, milk_ml, load * milk_ml};
      const Milestones own = milestones(AcidCurve::solved(brew, parameters), parameters);
      const Milestones read = by_load.at(load);
      // A thousandth of a batch is a minute or two: nothing beside a forecast's spread.
      EXPECT_NEAR(read.thickened_h, own.thickened_h, 1e-3 * own.thickened_h) << load;
      EXPECT_NEAR(read.peak_opens_h, own.peak_opens_h, 1e-3 * own.peak_opens_h) << load;
      EXPECT_NEAR(read.peak_closes_h, own.peak_closes_h, 1e-3 * own.peak_closes_h) << load;
    }
  }
}

}  // namespace
}  // namespace wheymark
