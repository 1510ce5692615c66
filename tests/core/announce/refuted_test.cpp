// What was announced too early is taken back by who looks, and told again when it is due.
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;

class AToldPeak : public OneJar {
 protected:
  AToldPeak() {
    world.run_for(10min);
    world.does(start("blue"));
    while (times("peak-open") == 0) world.run_for(15min);
    opened_ = world.now();
  }
  [[nodiscard]] std::ptrdiff_t times(const std::string& kind) const {
    const auto kinds = told();
    return std::count(kinds.begin(), kinds.end(), kind);
  }
  [[nodiscard]] const Announcement& last(const std::string& kind) const {
    for (auto a = world.announcements().rbegin(); a != world.announcements().rend(); ++a) {
      if (word(a->kind) == kind) return *a;
    }
    throw std::runtime_error("never announced: " + kind);
  }
  Instant opened_;
};

TEST_F(AToldPeak, ThatProvesToBeStillMilkIsToldAgainWhenItIsDue) {
  world.run_for(1h);
  world.does(SignSeen{"blue", Sign::still_milk});
  const Instant now_expected = *jar().forecast.peak_opens.p50;
  ASSERT_GT(now_expected, world.now() + 2h);
  world.run_for(72h);
  // Near and open once more; whatever comes after the peak comes once.
  EXPECT_THAT(told(), ElementsAre("batch-started", "peak-near", "peak-open", "peak-near",
                                  "peak-open", "peak-closing", "over-fermented"));
  EXPECT_NEAR(hours_between(now_expected, last("peak-open").time), 0.0, 0.1);
  EXPECT_NE(last("peak-open").id, world.the("peak-open").id);
  EXPECT_THAT(last("peak-open").text, HasSubstr("too early at"));
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(AToldPeak, ThatIsDeniedTwiceIsToldAThirdTime) {
  for (int i = 0; i < 2; ++i) {
    world.run_for(30min);
    world.does(SignSeen{"blue", Sign::thickened});
    const std::ptrdiff_t before = times("peak-open");
    while (times("peak-open") == before) world.run_for(15min);
  }
  EXPECT_EQ(times("peak-open"), 3);
}

TEST_F(AToldPeak, IsNotToldAgainAtOnceToWhoHasJustLooked) {
  world.run_for(30min);
  world.does(SignSeen{"blue", Sign::set});
  world.run_for(55min);
  EXPECT_EQ(times("peak-open"), 1);
  world.run_for(12h);
  EXPECT_EQ(times("peak-open"), 2);
}

TEST_F(AToldPeak, ThatWasSeenIsNotToldAgain) {
  world.run_for(1h);
  world.does(SignSeen{"blue", Sign::whey_pockets});
  world.run_for(48h);
  EXPECT_EQ(times("peak-open"), 1);
}

// Whoever starts a jar late and at once says what it shows has refuted nothing.
TEST_F(OneJar, IsSaidToShowWhatWasSeenInTheInstantOfItsStart) {
  world.run_for(10min);
  world.does(start("blue"));
  world.does(SignSeen{"blue", Sign::whey_pockets});
  world.run_for(1min);
  EXPECT_THAT(world.the("peak-open").text, HasSubstr("were seen"));
}

TEST_F(AToldPeak, IsRefutedByALookShortlyBeforeButNotByOneOfTheMorning) {
  world.run_for(10min);
  world.does(SignSeen{"blue", Sign::still_milk}, opened_ - 8h);
  world.run_for(48h);
  EXPECT_EQ(times("peak-open"), 1);
}

TEST_F(AToldPeak, IsRefutedByAMeterThatIsFarAboveIt) {
  world.run_for(1h);
  world.does(PhMeasured{"blue", 5.6});
  world.run_for(72h);
  EXPECT_EQ(times("peak-open"), 2);
}

// A slip of the finger: pockets were seen, and what is thick does not turn into milk.
TEST_F(AToldPeak, ThatWasSeenIsNotToldAgainForOneLookThatCannotBe) {
  world.does(SignSeen{"blue", Sign::whey_pockets});
  world.run_for(1h);
  world.does(SignSeen{"blue", Sign::whey_layer});
  world.run_for(1h);
  world.does(PhMeasured{"blue", 6.4});
  world.run_for(24h);
  EXPECT_EQ(times("peak-open"), 1);
}

TEST_F(AToldPeak, ThatIsOverButStillShowsPocketsIsOverAgainLater) {
  while (times("over-fermented") == 0) world.run_for(15min);
  world.does(SignSeen{"blue", Sign::whey_pockets});
  world.run_for(72h);
  EXPECT_EQ(times("over-fermented"), 2);
  EXPECT_EQ(times("peak-open"), 1);
}

}  // namespace
}  // namespace wheymark::test
