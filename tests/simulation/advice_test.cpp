// Is a feeding that was advised ready when it was promised, and better than feeding now as usual?
//
// Forty households of the judge's kinetics, not ours, each with a kitchen and a colder pantry.
// After four batches each asks for eight more, in turn for an hour of the next day and for any hour
// at which somebody is awake, and does what is advised. The usual feeding at the time of asking is
// fermented beside it, by the same grains. WHEYMARK_JUDGE_SEEDS is not read: the seeds are others
// than those that anything was tuned on.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/simulation/life.hpp"

namespace wheymark::simulation {
namespace {

struct Tally {
  double asked = 0, promised = 0, kept = 0, late = 0, peak_h = 0, peak_h_promised = 0, covered = 0,
         usual_promised = 0, usual_kept = 0;

  void add(const Advised& one) {
    asked += 1;
    promised += one.promised;
    kept += one.kept ? 1 : 0;
    late += one.late ? 1 : 0;
    peak_h += one.peak_h;
    peak_h_promised += one.peak_h_promised;
    covered += one.covered ? 1 : 0;
    usual_promised += one.as_usual_promised;
    usual_kept += one.as_usual_kept ? 1 : 0;
  }
  void print(const char* what) const {
    fmt::print(
        "{:22} n {:3}  promised {:5.1f} %  kept {:5.1f} %  late {:5.1f} %  peak {:.1f} h, promised "
        "{:.1f} h  80 % interval held "
        "{:5.1f} %  as usual "
        "promised {:5.1f} %  kept {:5.1f} %\n",
        what, asked, 100 * promised / asked, 100 * kept / asked, 100 * late / asked, peak_h / asked,
        peak_h_promised / asked, 100 * covered / asked, 100 * usual_promised / asked,
        100 * usual_kept / asked);
  }
};

class AdviceInOtherKinetics : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    const Rooms rooms = Rooms::of_the_reference();
    for (std::uint64_t seed = 401; seed <= 440; ++seed) {
      for (const Advised& one : advised(seed, 8, rooms)) {
        (one.for_an_hour ? for_an_hour_ : awake_).add(one);
      }
    }
    for_an_hour_.print("for an hour");
    awake_.print("for any waking hour");
  }

  static Tally for_an_hour_;
  static Tally awake_;
};

Tally AdviceInOtherKinetics::for_an_hour_;
Tally AdviceInOtherKinetics::awake_;

// 160 feedings each: two standard errors of a share of 0.7 are 0.07, and households differ.
TEST_F(AdviceInOtherKinetics, KeepsItsPromiseAsOftenAsItSays) {
  EXPECT_NEAR(for_an_hour_.kept / for_an_hour_.asked, for_an_hour_.promised / for_an_hour_.asked,
              0.12);
  EXPECT_GE(awake_.kept / awake_.asked, awake_.promised / awake_.asked - 0.06);
}

TEST_F(AdviceInOtherKinetics, IsBetterThanFeedingNowAsUsual) {
  EXPECT_GE(for_an_hour_.kept, 1.5 * for_an_hour_.usual_kept);
  EXPECT_GE(awake_.kept, awake_.usual_kept);
}

TEST_F(AdviceInOtherKinetics, TheHoursOfTheSentenceHoldTheOpeningInEightOfTenCases) {
  const double covered = for_an_hour_.covered + awake_.covered;
  const double asked = for_an_hour_.asked + awake_.asked;
  EXPECT_GE(covered / asked, 0.70);
  EXPECT_LE(covered / asked, 0.92);
}

}  // namespace
}  // namespace wheymark::simulation
