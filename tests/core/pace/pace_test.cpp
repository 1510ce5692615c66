// Is the belief about a pace what Bayes and the normal distribution say, as far as a grid can?
#include "core/pace/pace.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <gtest/gtest.h>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// Quantiles of the standard normal, from any table.
constexpr double z_of_10_percent = -1.2815515655446004;
constexpr double z_of_25_percent = -0.6744897501960817;
constexpr double z_of_99_percent = 2.3263478740408408;

// The grid steps by 2 %, each step uniform within: a quantile is good to a fraction of a step.
constexpr double log_tolerance = 0.002;

// A prior and what was reported since, with likelihoods of the pace alone.
class BeliefInPace {
 public:
  BeliefInPace(double median, double log_sd) : prior_(PaceBelief::prior(median, log_sd)) {}
  template <class Likelihood>
  void weigh(Likelihood likelihood) {
    evidence_.weigh([&](double log_pace, SignSpacing) { return likelihood(std::exp(log_pace)); });
  }
  [[nodiscard]] double quantile(double share) const {
    return prior_.given(evidence_).quantile(share);
  }

 private:
  PaceBelief prior_;
  PaceEvidence evidence_;
};

template <class AnyBelief>
double log_quantile(const AnyBelief& belief, double share) {
  return std::log(belief.quantile(share));
}

TEST(Pace, ThePriorsQuantilesAreThoseOfALogNormal) {
  for (const double median : {0.7, 1.0, 1.6}) {
    for (const double sd : {0.1, 0.3}) {
      const PaceBelief prior = PaceBelief::prior(median, sd);
      EXPECT_NEAR(log_quantile(prior, 0.5), std::log(median), log_tolerance);
      EXPECT_NEAR(log_quantile(prior, 0.1), std::log(median) + z_of_10_percent * sd, log_tolerance);
      EXPECT_NEAR(log_quantile(prior, 0.9), std::log(median) - z_of_10_percent * sd, log_tolerance);
      EXPECT_NEAR(log_quantile(prior, 0.25), std::log(median) + z_of_25_percent * sd,
                  log_tolerance);
      EXPECT_NEAR(log_quantile(prior, 0.99), std::log(median) + z_of_99_percent * sd,
                  2 * log_tolerance);
    }
  }
}

TEST(Pace, QuantilesGrowWithTheShare) {
  BeliefInPace belief(1.0, 0.3);
  belief.weigh([](double pace) { return pace > 1.3 ? 1.0 : 0.001; });
  double before = 0.0;
  for (double share = 0.001; share < 1.0; share += 0.001) {
    EXPECT_GE(belief.quantile(share), before);
    before = belief.quantile(share);
  }
}

// Conjugacy: a normal prior of ln(pace) and a normal likelihood around m with sd s give a normal
// whose precision is the sum and whose mean is weighted by precision. The 2 % of mistaken reports
// mix a little of the prior in, which must not matter where the report agrees with the prior.
TEST(Pace, AGaussianReportGivesTheConjugatePosterior) {
  const double prior_sd = 0.3;
  for (const double m : {-0.2, 0.0, 0.25}) {
    for (const double s : {0.1, 0.2}) {
      BeliefInPace belief(1.0, prior_sd);
      belief.weigh([&](double pace) {
        const double z = (std::log(pace) - m) / s;
        return std::exp(-0.5 * z * z);
      });
      const double precision = 1.0 / (prior_sd * prior_sd) + 1.0 / (s * s);
      const double mean = m / (s * s) / precision;
      // The mixture moves the median by at most 2 % of the mass times the slope of the normal
      // there, at prior's pull: well under a tenth of the posterior's own spread.
      EXPECT_NEAR(log_quantile(belief, 0.5), mean, 0.1 / std::sqrt(precision));
    }
  }
}

// P(posterior) = (0.02 prior + 0.98 prior * L) / Z exactly; checked against a fine integration of
// that formula that shares nothing with the grid but the formula itself.
TEST(Pace, AMistakenReportIsAMixtureWithThePrior) {
  const double sd = 0.3;
  const double m = 1.2;  // a pace of 3.3: four prior spreads away
  const double s = 0.1;
  const auto posterior = [&](double x) {
    const double likelihood = std::exp(-0.5 * std::pow((x - m) / s, 2));
    return std::exp(-0.5 * std::pow(x / sd, 2)) * (0.02 + 0.98 * likelihood);
  };
  double total = 0.0;
  for (double x = -1.8; x < 1.8; x += 1e-4) total += posterior(x);
  double below = 0.0;
  double median = -1.8;
  while (below < 0.5 * total) below += posterior(median += 1e-4);

  BeliefInPace belief(1.0, sd);
  belief.weigh([&](double pace) {
    const double z = (std::log(pace) - m) / s;
    return std::exp(-0.5 * z * z);
  });
  EXPECT_NEAR(log_quantile(belief, 0.5), median, 2 * log_tolerance);
  // One absurd report must not rule out what was believed before.
  EXPECT_LT(belief.quantile(0.5), 1.5);
}

TEST(Pace, EnoughAgreeingReportsOvercomeAnyPrior) {
  BeliefInPace belief(1.0, 0.3);
  for (int i = 0; i < 5; ++i) {
    belief.weigh([](double pace) {
      const double z = (std::log(pace) - std::log(2.5)) / 0.1;
      return std::exp(-0.5 * z * z);
    });
  }
  EXPECT_NEAR(belief.quantile(0.5), 2.5, 0.15);
}

TEST(Pace, AReportThatNothingExplainsSaysNothing) {
  BeliefInPace belief(1.0, 0.3);
  belief.weigh([](double) { return 0.0; });
  EXPECT_NEAR(belief.quantile(0.5), 1.0, 1e-12);
}

TEST(Pace, AReportThatAllPacesExplainAlikeSaysNothing) {
  BeliefInPace belief(1.2, 0.3);
  const double before = belief.quantile(0.1);
  belief.weigh([](double) { return 42.0; });
  EXPECT_NEAR(belief.quantile(0.1), before, 1e-12);
}

TEST(Pace, TheOrderOfReportsDoesNotMatter) {
  const auto fast = [](double pace) { return pace > 1.1 ? 1.0 : 0.2; };
  const auto middling = [](double pace) { return std::abs(pace - 1.0) < 0.4 ? 1.0 : 0.1; };
  BeliefInPace a(1.0, 0.3);
  BeliefInPace b = a;
  a.weigh(fast);
  a.weigh(middling);
  b.weigh(middling);
  b.weigh(fast);
  EXPECT_NEAR(a.quantile(0.5), b.quantile(0.5), 1e-9);
}

// Three reports that depend on the one part of the spacing, on the other, and on both, against
// Bayes for each spacing and each pace. A report is mistaken in 2 of 100 cases.
TEST(Pace, CoursesThatShareARowComeToWhatEachComesToAlone) {
  const auto by_before = [](double log_pace, double before) {
    return std::exp(-8.0 * std::pow(log_pace - 0.3 * before, 2));
  };
  const auto by_after = [](double log_pace, double after) {
    return 1.0 / (1.0 + std::exp(9.0 * (log_pace - after)));
  };
  const auto by_both = [](double log_pace, SignSpacing spacing) {
    return std::exp(-std::abs(log_pace - spacing.before * spacing.after));
  };
  PaceEvidence evidence;
  evidence.weigh_by(&SignSpacing::before, by_before);
  evidence.weigh_by(&SignSpacing::after, by_after);
  evidence.weigh(by_both);
  const PaceBelief belief = PaceBelief::prior(1.1, 0.25).given(evidence);

  constexpr double mistaken = 0.02;
  const std::array<std::function<double(double, SignSpacing)>, 3> reports{
      [&](double x, SignSpacing c) { return by_before(x, c.before); },
      [&](double x, SignSpacing c) { return by_after(x, c.after); }, by_both};
  std::array<double, 3> most{};
  for (std::size_t r = 0; r < reports.size(); ++r) {
    for (const SignSpacing spacing : sign_spacings) {
      for (std::size_t i = 0; i < pace_grid::size; ++i) {
        most[r] = std::max(most[r], reports[r](pace_grid::log_pace_at(i), spacing));
      }
    }
  }
  pace_grid::OverPaces over_paces{};
  double total = 0.0;
  SignSpacing mean{0.0, 0.0};
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      const double x = pace_grid::log_pace_at(i);
      double weight = spacing_prior[c] * std::exp(-0.5 * std::pow((x - std::log(1.1)) / 0.25, 2));
      for (std::size_t r = 0; r < reports.size(); ++r) {
        weight *= mistaken + (1.0 - mistaken) * reports[r](x, sign_spacings[c]) / most[r];
      }
      over_paces[i] += weight;
      total += weight;
      mean.before += weight * sign_spacings[c].before;
      mean.after += weight * sign_spacings[c].after;
    }
  }
  // What is kept of a report is rounded to seven digits.
  for (std::size_t i = 0; i < pace_grid::size; ++i) {
    EXPECT_NEAR(belief.over_paces()[i], over_paces[i] / total, 1e-8) << i;
  }
  EXPECT_NEAR(belief.mean_spacing().before, mean.before / total, 1e-6);
  EXPECT_NEAR(belief.mean_spacing().after, mean.after / total, 1e-6);
}

TEST(Pace, NonsenseIsAMistakeOfOurs) {
  EXPECT_THROW((void)PaceBelief::prior(0.0, 0.3), BrokenCheck);
  EXPECT_THROW((void)PaceBelief::prior(1.0, 0.0), BrokenCheck);
  EXPECT_THROW((void)PaceBelief::prior(std::nan(""), 0.3), BrokenCheck);
  EXPECT_THROW((void)PaceBelief::prior(1.0, 0.3).quantile(0.0), BrokenCheck);
  EXPECT_THROW((void)PaceBelief::prior(1.0, 0.3).quantile(1.0), BrokenCheck);
}

}  // namespace
}  // namespace wheymark
