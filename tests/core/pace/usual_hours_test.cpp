// What people know from before is evidence: it adds up where it agrees, and is wide where it does
// not.
#include "core/pace/usual_hours.hpp"

#include <cmath>
#include <gtest/gtest.h>
#include <vector>

#include "core/pace/culture_pace.hpp"
#include "tests/core/given.hpp"
#include "tests/core/pace/bell.hpp"

namespace wheymark {
namespace {

double log_span(const PaceBelief& belief) {
  return std::log(belief.quantile(0.9) / belief.quantile(0.1));
}

// Precisions of independent normals add; what is shared adds as a variance.
TEST(UsualHours, TwoThatAgreeAreNarrowerThanOneButNeverThanWhatTheyShare) {
  const UsualTogether one = together(std::vector<UsualShown>{{0.1, 0.16}}, p);
  const UsualTogether two = together(std::vector<UsualShown>{{0.1, 0.16}, {0.1, 0.16}}, p);
  EXPECT_DOUBLE_EQ(one.log_sd, std::hypot(0.16, p.usual_shared_log_sd));
  EXPECT_DOUBLE_EQ(two.log_sd, std::hypot(0.16 / std::sqrt(2.0), p.usual_shared_log_sd));
  const std::vector<UsualShown> many(1000, {0.1, 0.16});
  EXPECT_GE(together(many, p).log_sd, p.usual_shared_log_sd);
  EXPECT_FALSE(two.contradict);
}

TEST(UsualHours, TheSurerOfTwoCountsMore) {
  const UsualTogether both = together(std::vector<UsualShown>{{0.0, 0.10}, {0.2, 0.20}}, p);
  EXPECT_NEAR(both.log_pace, 0.04, 1e-12);  // weights 4 to 1
}

TEST(UsualHours, TwoThatContradictEachOtherAreWiderTogetherThanEach) {
  const std::vector<UsualShown> half_and_twice{{-std::log(2.0), 0.16}, {std::log(2.0), 0.16}};
  const UsualTogether both = together(half_and_twice, p);
  EXPECT_TRUE(both.contradict);
  EXPECT_NEAR(both.log_pace, 0.0, 1e-12);
  // Each lies about one standard deviation from the middle.
  EXPECT_NEAR(both.log_sd, std::log(2.0), 0.05);
}

TEST(UsualHours, ACultureIsBelievedByItsPriorAndWhatIsUsualTogether) {
  const CulturePace unknown(p);
  const CulturePace known = unknown.given(evidence_of({0.3, 0.15, false}));
  // Two normals: precisions add, and the mean is weighted by them.
  const double prior = 1.0 / (p.pace_prior_log_sd * p.pace_prior_log_sd);
  const double told = 1.0 / (0.15 * 0.15);
  const double mean = (prior * std::log(p.pace_prior_median) + told * 0.3) / (prior + told);
  EXPECT_NEAR(std::log(known.of_the_culture().median()), mean, 0.01);
  EXPECT_NEAR(log_span(known.of_the_culture()), 2 * 1.2816 / std::sqrt(prior + told), 0.06)
      << "and one in fifty is taken to be mistaken";
  EXPECT_EQ(known.batches(), 0U) << "nobody followed a batch";
}

TEST(UsualHours, AfterManyBatchesItHardlyCounts) {
  CulturePace culture(p);
  for (int day = 0; day < 12; ++day)
    culture.learn(bell(0.0, 0.05), noon + std::chrono::hours{24 * day});
  const double before = culture.of_the_culture().median();
  const double after = culture.given(evidence_of({0.5, 0.17, false})).of_the_culture().median();
  EXPECT_GT(after, before);
  EXPECT_LT(after, 1.05 * before) << "one tenth of what was told";
}

}  // namespace
}  // namespace wheymark
