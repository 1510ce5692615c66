// What a sign says depends on when somebody last looked.
#include <cmath>
#include <gtest/gtest.h>

#include "core/pace/observation.hpp"
#include "core/pace/pace.hpp"
#include "core/record/waking.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using std::chrono::minutes;

class AReport : public testing::Test {
 protected:
  // A jar that has stood at the reference temperature since `started`: clock hours are hours.
  static ClockTrack clock_since(Instant started) {
    ClockTrack track;
    for (int quarter = 0; quarter <= 4 * 48; ++quarter) {
      track.add(started + minutes{15 * quarter}, 0.25 * quarter);
    }
    return track;
  }

  PaceBelief after(Sign sign, Instant started, Instant at) const {
    PaceEvidence evidence;
    weigh_sign(evidence, sign, Sign::still_milk, look(started, at), milestones_, parameters_);
    return prior_.given(evidence);
  }

  Look look(Instant started, Instant at) const {
    return {clock_since(started), at,
            [this](Instant from, Instant to) { return looked_h_between(from, to, setup_); }};
  }

  static double log_width(const PaceBelief& belief) {
    return std::log(belief.quantile(0.9) / belief.quantile(0.1));
  }

  HouseholdSetup setup_;  // awake from 07:00 to 22:30, UTC
  Parameters parameters_;
  Milestones milestones_{9.0, 11.0, 14.0,
                         28.0};  // clear whey is hours away, however brief the peak
  PaceBelief prior_ = PaceBelief::prior(1.0, 0.3);
};

TEST_F(AReport, OfTheMorningSaysThatItCameSomewhereInTheNight) {
  // Pockets after 16 h both times, once seen at 07:05 and once at 19:05.
  const PaceBelief at_breakfast =
      after(Sign::whey_pockets, midnight - std::chrono::hours{8} - minutes{55},
            midnight + std::chrono::hours{7} + minutes{5});
  const PaceBelief at_supper =
      after(Sign::whey_pockets, midnight + std::chrono::hours{3} + minutes{5},
            midnight + std::chrono::hours{19} + minutes{5});
  EXPECT_GT(log_width(at_breakfast), 1.3 * log_width(at_supper));
  // At breakfast the sign hardly came before bedtime, 7.5 h into the batch, but midnight, 9 h into
  // it, is as likely as any hour of the night. At supper, 9 h into the batch was noon, and the sign
  // would have been reported long ago.
  EXPECT_GT(at_breakfast.quantile(0.9), 14.0 / 12.0);
  EXPECT_LT(at_supper.quantile(0.9), 14.0 / 12.0);
}

TEST_F(AReport, OfPocketsAtNoonPutsTheOpeningInTheHoursBefore) {
  const PaceBelief seen = after(Sign::whey_pockets, midnight - std::chrono::hours{2},
                                midnight + std::chrono::hours{12});
  EXPECT_GT(seen.quantile(0.5), 14.0 / 14.0);
  EXPECT_LT(seen.quantile(0.5), 14.0 / 11.0);
}

TEST_F(AReport, OfStillMilkMakesItSlowerAndSaysNothingOfHowSlow) {
  const PaceBelief seen = after(Sign::still_milk, midnight, midnight + std::chrono::hours{12});
  EXPECT_LT(seen.median(), 9.0 / 12.0 + 0.2);
  EXPECT_GT(log_width(seen), 0.3);
}

TEST_F(AReport, ThatIsRepeatedSaysOnlyThatTheNextSignHasNotCome) {
  PaceEvidence evidence;
  const Look later = look(midnight - std::chrono::hours{3}, midnight + std::chrono::hours{10});
  weigh_sign(evidence, Sign::set, Sign::set, later, milestones_, parameters_);
  // 13 h and no pockets: the pace is at most about 14 / 13; nothing was reported of how slow it is.
  const PaceBelief seen = prior_.given(evidence);
  EXPECT_LT(seen.quantile(0.9), 14.0 / 13.0 * 1.05);
  EXPECT_LT(seen.quantile(0.1), 0.75);
}

TEST_F(AReport, AtTheVeryStartSaysNothing) {
  PaceEvidence evidence;
  weigh_sign(evidence, Sign::still_milk, Sign::still_milk, look(midnight, midnight), milestones_,
             parameters_);
  EXPECT_FALSE(evidence.says_something());
}

TEST_F(AReport, VerdictsPullTheirOwnWay) {
  const auto verdict = [&](Verdict said) {
    PaceEvidence evidence;
    weigh_verdict(evidence, said, Sign::still_milk,
                  look(midnight - std::chrono::hours{2}, midnight + std::chrono::hours{12}),
                  milestones_, parameters_);
    return prior_.given(evidence).median();
  };
  EXPECT_LT(verdict(Verdict::early), 1.0);
  EXPECT_GT(verdict(Verdict::right), verdict(Verdict::early));
  EXPECT_GT(verdict(Verdict::late), verdict(Verdict::right));
}

TEST_F(AReport, LooksAreCountedInWakingHours) {
  // 22:00 to 08:00: half an hour and an hour awake, 8.5 h of night of which 15 % counts.
  EXPECT_NEAR(
      looked_h_between(midnight - std::chrono::hours{2}, midnight + std::chrono::hours{8}, setup_),
      1.5 + 0.15 * 8.5, 1e-9);
  setup_.waking = {std::chrono::hours{9}, std::chrono::hours{1}};  // awake past midnight
  EXPECT_TRUE(awake_at(midnight + minutes{30}, setup_));
  EXPECT_FALSE(awake_at(midnight + std::chrono::hours{5}, setup_));
  EXPECT_NEAR(looked_h_between(midnight, midnight + std::chrono::hours{24}, setup_),
              16.0 + 0.15 * 8.0, 1e-9);
}

}  // namespace
}  // namespace wheymark
