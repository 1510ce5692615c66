// Does a report move the belief the way a person at the jar would expect?
#include "core/pace/observation.hpp"

#include <algorithm>
#include <cmath>
#include <gtest/gtest.h>
#include <limits>
#include <utility>
#include <vector>

#include "core/pace/pace.hpp"
#include "core/record/facts.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

// A look in a kitchen where nobody could have looked before: the sign may have come at any time.
Look look_at(double clock_h) {
  ClockTrack track;
  const Instant start{};
  track.end_with(start, 0.0);
  if (clock_h > 0.0) track.end_with(after_hours(start, clock_h), clock_h);
  return {track, after_hours(start, std::max(0.0, clock_h)), [](Instant, Instant) { return 0.0; }};
}

class Belief {
 public:
  Belief() = default;
  void sign(Sign sign, double clock_h, const Milestones& of = some_milestones) {
    weigh_sign(evidence_, sign, seen_, look_at(clock_h), of, p);
    seen_ = sign;
  }
  void ph(double ph, double clock_h, const AcidCurve& curve) {
    const Milestones of = milestones(curve, p);
    weigh_ph(evidence_, ph, ph_error_usual, 0, look_at(clock_h), curve, of, p);
  }
  [[nodiscard]] double quantile(double share) const {
    return PaceBelief::prior(1.0, 0.3).given(evidence_).quantile(share);
  }
  [[nodiscard]] SignSpacing spacing() const {
    return PaceBelief::prior(1.0, 0.3).given(evidence_).mean_spacing();
  }

 private:
  PaceEvidence evidence_;
  Sign seen_ = Sign::still_milk;
};

Belief after(Sign sign, double clock_h, const Milestones& of = some_milestones) {
  Belief belief;
  belief.sign(sign, clock_h, of);
  return belief;
}

double median_after(Sign sign, double clock_h) {
  return after(sign, clock_h).quantile(0.5);
}

TEST(Observation, ASignBeforeItsTimeMeansFastGrainsAndOneAfterItSlowGrains) {
  EXPECT_GT(median_after(Sign::whey_pockets, 10.0), 1.3);  // 18 h of work done in 10
  EXPECT_LT(median_after(Sign::still_milk, 16.0), 0.8);    // not even thick after 16
  EXPECT_GT(median_after(Sign::separated, 14.0), 1.3);
  EXPECT_LT(median_after(Sign::thickened, 20.0), 0.8);
}

TEST(Observation, ASignAtItsTimeNarrowsTheBeliefAroundWhereItWas) {
  const PaceBelief prior = PaceBelief::prior(1.0, 0.3);
  const Belief posterior = after(Sign::set, 16.0);  // set is from 14 to 18 h
  EXPECT_NEAR(posterior.quantile(0.5), 1.0, 0.05);
  EXPECT_LT(posterior.quantile(0.9) / posterior.quantile(0.1),
            0.8 * prior.quantile(0.9) / prior.quantile(0.1));
}

// Each sign in turn at one clock: the further the jar, the faster the grains. At hours that hardly
// any pace explains this ends, by design: then the report counts as mistaken.
TEST(Observation, AFurtherSignAtTheSameHourDoesNotMeanSlowerGrains) {
  for (const double clock_h : {14.0, 16.0, 18.0}) {
    double before = 0.0;
    for (const auto& word : Vocabulary<Sign>::words) {
      const double median = median_after(word.meaning, clock_h);
      EXPECT_GE(median, before - 1e-9) << word.text << " at " << clock_h;
      before = median;
    }
  }
}

TEST(Observation, TheSameSignLaterDoesNotMeanFasterGrains) {
  // The middle of each sign's hours at pace 1, and two prior spreads (0.6) around it.
  const std::vector<std::pair<Sign, double>> middles{{Sign::still_milk, 7.0},
                                                     {Sign::thickened, 12.0},
                                                     {Sign::set, 16.0},
                                                     {Sign::whey_pockets, 22.0},
                                                     {Sign::whey_layer, 40.0}};
  for (const auto& [sign, middle_h] : middles) {
    double before = std::numeric_limits<double>::infinity();
    for (double log_h = -0.6; log_h <= 0.6; log_h += 0.1) {
      const double median = median_after(sign, middle_h * std::exp(log_h));
      EXPECT_LE(median, before + 1e-9) << word(sign) << " at " << middle_h * std::exp(log_h);
      before = median;
    }
  }
}

// No pockets yet at 17 h, pockets at the reference's 18 h; clear whey 3 h later in one kitchen, and
// not yet 9 h later in the other, where the reference has 8 h.
TEST(Observation, HowLongAPeakLastsIsLearnedFromItsEndAlone) {
  const SignSpacing before = Belief().spacing();
  Belief brief = after(Sign::set, 17.0);
  brief.sign(Sign::whey_pockets, 18.0);
  const SignSpacing opened = brief.spacing();
  brief.sign(Sign::whey_layer, 21.0);
  EXPECT_LT(brief.spacing().after, before.after - 0.1);
  EXPECT_NEAR(brief.spacing().before, opened.before, 0.05);
  Belief lasting = after(Sign::set, 17.0);
  lasting.sign(Sign::whey_pockets, 18.0);
  lasting.sign(Sign::whey_pockets, 27.0);
  EXPECT_GT(lasting.spacing().after, before.after + 0.1);
}

TEST(Observation, OneWrongWordIsOvercomeByThreeRightOnes) {
  Belief belief;
  belief.sign(Sign::separated, 3.0);  // of the wrong jar
  belief.sign(Sign::still_milk, 8.0);
  belief.sign(Sign::thickened, 12.0);
  belief.sign(Sign::set, 16.0);
  EXPECT_NEAR(belief.quantile(0.5), 1.0, 0.1);
}

TEST(Observation, BeforeTheClockRunsNothingIsLearned) {
  for (const double clock_h : {0.0, -1.0}) {
    EXPECT_NEAR(median_after(Sign::separated, clock_h), 1.0, 1e-9);
  }
}

TEST(Observation, ASignThatNeverComesTeachesNothingFalse) {
  const double never = std::numeric_limits<double>::infinity();
  const Belief belief = after(Sign::whey_pockets, 20.0, {10.0, never, never, never});
  EXPECT_NEAR(belief.quantile(0.5), 1.0, 1e-9);
}

// A pH reading on the curve of the reference brew says that the pace is 1 while the peak is to
// come. Once it has opened (18 h here) the pH hardly falls, and how fast is not known: it says
// less.
TEST(Observation, APhOnTheCurveSaysThatThePaceIsOne) {
  const AcidCurve curve =
      AcidCurve::solved({MilkKind::cow_whole, Treatment::pasteurised, 950.0, 20.0}, p);
  for (const double clock_h : {10.0, 14.0, 18.0}) {
    Belief belief;
    belief.ph(curve.at(clock_h).ph, clock_h, curve);
    EXPECT_NEAR(belief.quantile(0.5), 1.0, clock_h < 18.0 ? 0.05 : 0.10) << clock_h;
    Belief faster;
    faster.ph(curve.at(1.4 * clock_h).ph, clock_h, curve);
    // Between the prior's 1 and the reading's 1.4.
    EXPECT_GT(faster.quantile(0.5), clock_h < 18.0 ? 1.08 : 1.0) << clock_h;
    EXPECT_LT(faster.quantile(0.5), 1.45) << clock_h;
  }
}

}  // namespace
}  // namespace wheymark
