// Grains come back from the fridge: the first batches are forecast slow, and then as before.
//
// Common practice: up to half as long again at first, two or three batches until they are back.
#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

class ARest : public OneJar {
 protected:
  // Hours from a start to the middle of the forecast, and the width of its 80 % interval.
  struct Expected {
    double hours;
    double width_h;
  };
  Expected starts() {
    world.does(start("blue"));
    const InstantSpread opens = jar().forecast.peak_opens;
    return {hours_between(world.now(), *opens.p50), hours_between(*opens.p10, *opens.p90)};
  }
  void strains(std::optional<Verdict> verdict = {}) {
    Strain out = strain("blue");
    out.verdict = verdict;
    world.does(out);
    world.run_for(1h);
  }
  // Four batches, each strained when it is right, so that the culture is known.
  double usual_h() {
    double hours = 0.0;
    for (int batch = 0; batch < 4; ++batch) {
      hours = starts().hours;
      world.run_for(20h);
      strains(Verdict::right);
    }
    return hours;
  }
  void rests(Milliseconds time) {
    world.does(Rest{"tilly", {}});
    world.run_for(time);
    world.does(Wake{"tilly"});
  }
};

TEST_F(ARest, MakesTheFirstThreeBatchesSlowAndLessCertain) {
  const double usual = usual_h();
  rests(24h * 10);

  double before = 2.0 * usual;
  for (int batch = 1; batch <= 3; ++batch) {
    const Expected expected = starts();
    EXPECT_GT(expected.hours, 1.03 * usual) << batch;
    EXPECT_LT(expected.hours, before) << batch;
    before = expected.hours;
    if (batch == 1) {
      EXPECT_GT(expected.hours, 1.25 * usual);
      EXPECT_LT(expected.hours, 1.6 * usual);
      EXPECT_GT(expected.width_h, 0.4 * usual);
    }
    world.run_for(25h);
    strains();  // without a verdict: only the count brings them back
  }
  EXPECT_NEAR(starts().hours, usual, 0.06 * usual);
}

TEST_F(ARest, IsNotTakenForASlowCulture) {
  const double usual = usual_h();
  const double pace = world.household().paces().of("tilly").median();
  rests(24h * 10);
  // Each is right when it was forecast to be.
  for (int batch = 1; batch <= 3; ++batch) {
    const double hours = starts().hours;
    world.run_for(std::chrono::minutes{std::lround(60.0 * hours) + 45});
    strains(Verdict::right);
  }
  EXPECT_NEAR(std::log(world.household().paces().of("tilly").median() / pace), 0.0, 0.10);
  EXPECT_NEAR(starts().hours, usual, 0.10 * usual);
  EXPECT_THAT(world.told_of("culture-tilly"), Not(::testing::Contains("culture-slower")));
}

TEST_F(ARest, OfANightInTheFridgeIsNone) {
  const double usual = usual_h();
  rests(20h);
  EXPECT_NEAR(starts().hours, usual, 0.05 * usual);
  EXPECT_THAT(world.announcements().back().text, Not(HasSubstr("rested")));
}

TEST_F(ARest, IsTheSameWhetherItIsToldInTimeOrLate) {
  world.run_for(24h * 8);
  starts();
  world.run_for(2h);
  const Expected none{hours_between(world.now(), *jar().forecast.peak_opens.p50), 0.0};
  world.does(Rest{"tilly", {}}, morning);
  EXPECT_GT(hours_between(world.now(), *jar().forecast.peak_opens.p50), 1.2 * none.hours);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

}  // namespace
}  // namespace wheymark::test
