// Without reports nothing is learned, and one wrong report does not spoil the belief.
#include "core/pace/culture_pace.hpp"

#include <cmath>
#include <gtest/gtest.h>

#include "core/pace/pace.hpp"
#include "core/pace/pace_evidence.hpp"
#include "core/pace/pace_grid.hpp"
#include "tests/core/given.hpp"
#include "tests/core/pace/bell.hpp"

namespace wheymark {
namespace {

double log_width(const PaceBelief& belief) {
  return std::log(belief.quantile(0.9) / belief.quantile(0.1));
}

struct Moments {
  double total = 0.0, mean = 0.0, variance = 0.0;
};

Moments moments_of(const pace_grid::OverPaces& weights) {
  Moments m;
  for (std::size_t i = 0; i < pace_grid::size; ++i) {
    m.total += weights[i];
    m.mean += weights[i] * pace_grid::log_pace_at(i);
  }
  m.mean /= m.total;
  for (std::size_t i = 0; i < pace_grid::size; ++i) {
    m.variance += weights[i] * std::pow(pace_grid::log_pace_at(i) - m.mean, 2) / m.total;
  }
  return m;
}

TEST(PaceGrid, ABlurKeepsTheMeanAndAddsItsVarianceHoweverNarrowItIs) {
  pace_grid::OverPaces point{};
  point[100] = 1.0;
  for (const double log_sd : {0.001, 0.01, 0.03, 0.2}) {
    const Moments m = moments_of(pace_grid::blurred(point, pace_grid::normal_blur(log_sd)));
    EXPECT_NEAR(m.total, 1.0, 1e-12);
    EXPECT_NEAR(m.mean, pace_grid::log_pace_at(100), 1e-12);
    // Variances of independent spreads add; the curve is cut at four sd, which costs a tenth of a
    // per cent.
    EXPECT_NEAR(std::sqrt(m.variance), log_sd, 0.002 * log_sd);
  }
}

TEST(Pace, NothingSaidIsNothingLearned) {
  EXPECT_FALSE(PaceEvidence{}.says_something());

  CulturePace culture(default_parameters());
  culture.learn(bell(0.1, 0.05), noon);
  const PaceBelief of_culture = culture.of_the_culture();
  const PaceBelief of_next = culture.of_a_batch(noon + std::chrono::hours{30});
  culture.learn(PaceEvidence{}, noon + std::chrono::hours{24});  // a batch without reports

  EXPECT_EQ(culture.of_the_culture(), of_culture);
  EXPECT_EQ(culture.of_a_batch(noon + std::chrono::hours{30}), of_next);
  EXPECT_EQ(culture.batches(), 1U);
}

TEST(Pace, ASharpReportWithAWidePriorIsTheReport) {
  const PaceBelief after = PaceBelief::prior(1.0, 0.3).given(bell(0.2, 0.03));
  // Two normals: precisions add, and the mean is weighted by them.
  const double precision = 1.0 / 0.09 + 1.0 / 0.0009;
  EXPECT_NEAR(std::log(after.median()), 0.2 / 0.0009 / precision, 0.005);
}

TEST(Pace, OneWrongReportDoesNotMoveAKnownCulture) {
  CulturePace culture(default_parameters());
  for (int batch = 0; batch < 5; ++batch) {
    culture.learn(bell(0.0, 0.04), noon + std::chrono::hours{24 * batch});
  }
  const double before = culture.of_the_culture().median();
  culture.learn(bell(0.6, 0.04), noon + std::chrono::hours{24 * 5});
  EXPECT_NEAR(std::log(culture.of_the_culture().median() / before), 0.0, 0.03);
}

TEST(Pace, TwoReportsThatContradictEachOtherLeaveBothPossible) {
  PaceEvidence evidence = bell(0.4, 0.05);
  evidence.weigh([](double x, SignSpacing /*spacing*/) {
    return std::exp(-0.5 * (x + 0.4) * (x + 0.4) / (0.05 * 0.05));
  });
  const PaceBelief after = PaceBelief::prior(1.0, 0.3).given(evidence);
  EXPECT_LT(std::log(after.quantile(0.1)), -0.3);
  EXPECT_GT(std::log(after.quantile(0.9)), 0.3);
}

TEST(CulturePace, BatchesThatAgreeNarrowTheNextForecastToTheirScatter) {
  CulturePace culture(default_parameters());
  const double unknown = log_width(culture.of_a_batch(noon));
  for (int batch = 0; batch < 12; ++batch) {
    culture.learn(bell(batch % 2 == 0 ? -0.17 : -0.23, 0.02),
                  noon + std::chrono::hours{24 * batch});
  }
  const PaceBelief next = culture.of_a_batch(noon + std::chrono::hours{24 * 12});
  EXPECT_NEAR(std::log(next.median()), -0.20, 0.02);
  EXPECT_LT(log_width(next), 0.25 * unknown);
  // They lie 0.03 from their mean: an 80 % interval narrower than 2.56 times that would be too
  // sure.
  EXPECT_GT(log_width(next), 2.56 * 0.03);
}

TEST(CulturePace, ItIsLessSureAfterWeeksWithoutAWord) {
  CulturePace culture(default_parameters());
  for (int batch = 0; batch < 8; ++batch) {
    culture.learn(bell(0.0, 0.03), noon + std::chrono::hours{24 * batch});
  }
  const Instant last = noon + std::chrono::hours{24 * 7};
  const double next_day = log_width(culture.of_a_batch(last + std::chrono::hours{24}));
  const double next_month = log_width(culture.of_a_batch(last + std::chrono::hours{24 * 30}));
  EXPECT_GT(next_month, next_day);
  // A month of drift is 5 %, so 2.56 times that joins the width in quadrature, about.
  const double drift = 2.56 * 0.010 * std::sqrt(30.0);
  EXPECT_NEAR(next_month, std::hypot(log_width(culture.of_a_batch(last)), drift), 0.03);
}

}  // namespace
}  // namespace wheymark
