// Does a jar that runs into the night end better when the evening's advice is followed?
//
// Forty households of the judge's kinetics, not ours, with a kitchen, a colder pantry and a fridge,
// feed as usual and ask once, at nine in the evening, what to do with a jar whose peak is still to
// come; they do it. The same batch, left where it stands, is fermented beside it.
#include <cmath>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/simulation/life.hpp"

namespace wheymark::simulation {
namespace {

struct Outcome {
  double asked = 0, promised = 0, kept = 0, left_promised = 0, left_kept = 0;
  double saved = 0, spoiled = 0;  // in time only because, and not in time because it was followed

  void add(const Steered& one) {
    asked += 1;
    promised += one.promised;
    kept += one.kept ? 1 : 0;
    left_promised += one.left_promised;
    left_kept += one.left_kept ? 1 : 0;
    saved += one.kept && !one.left_kept ? 1 : 0;
    spoiled += !one.kept && one.left_kept ? 1 : 0;
  }
  void print(const char* what) const {
    fmt::print(
        "{:18} n {:3}  promised {:5.1f} %  kept {:5.1f} %  left: promised {:5.1f} %  kept {:5.1f} "
        "%  saved {} spoiled {}\n",
        what, asked, 100 * promised / asked, 100 * kept / asked, 100 * left_promised / asked,
        100 * left_kept / asked, saved, spoiled);
  }
};

class SteeringInOtherKinetics : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    const Rooms rooms = Rooms::of_the_reference();
    for (std::uint64_t seed = 801; seed <= 840; ++seed) {
      for (const Steered& one : steered(seed, 10, rooms)) {
        (one.step == Remedy::leave ? left_alone_ : steered_).add(one);
      }
    }
    left_alone_.print("advised to leave");
    steered_.print("moved or cooled");
  }

  static Outcome left_alone_;
  static Outcome steered_;
};

Outcome SteeringInOtherKinetics::left_alone_;
Outcome SteeringInOtherKinetics::steered_;

TEST_F(SteeringInOtherKinetics, KeepsItsPromiseAsOftenAsItSays) {
  ASSERT_GE(steered_.asked, 50) << "too few evenings to judge";
  EXPECT_NEAR(steered_.kept / steered_.asked, steered_.promised / steered_.asked, 0.12);
  EXPECT_NEAR(left_alone_.kept / left_alone_.asked, left_alone_.promised / left_alone_.asked, 0.12);
}

// Each evening is a pair, so only those count where the two ends differ. Were the advice worth
// nothing, either end would be as likely, and their difference would have the square root of their
// number as its standard deviation (McNemar's test); three of those are no luck.
TEST_F(SteeringInOtherKinetics, SavesMoreBatchesThanItSpoilsByMoreThanLuck) {
  EXPECT_GT(steered_.saved - steered_.spoiled, 3.0 * std::sqrt(steered_.saved + steered_.spoiled));
}

// Most of the promised gain in chance must come true.
TEST_F(SteeringInOtherKinetics, GainsMostOfWhatItPromisesToGain) {
  EXPECT_GT(steered_.kept - steered_.left_kept, 0.5 * (steered_.promised - steered_.left_promised));
}

}  // namespace
}  // namespace wheymark::simulation
