// Does the default culture, with one pace a set, follow what others measured?
#include <cmath>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <set>

#include "tests/core/given.hpp"
#include "tests/reference/fitted.hpp"

namespace wheymark::published {
namespace {

const std::vector<FittedSet>& all_fitted() {
  static const std::vector<FittedSet> sets = fitted_sets(p);
  return sets;
}

// A set of one point fits itself; only more say anything about the curve.
std::vector<FittedSet> sets_of_several_points() {
  std::vector<FittedSet> several;
  for (const FittedSet& s : all_fitted()) {
    if (s.set.points.size() > 1) several.push_back(s);
  }
  return several;
}

TEST(PublishedAcidification, ThereAreTenSetsAndMoreAndTheirSplitIsFixed) {
  std::set<std::string> calibration, prior;
  for (const FittedSet& s : all_fitted()) {
    ASSERT_NE(s.set.use, Use::sealed) << "all of these set the prior: " << s.set.name;
    (s.set.use == Use::prior ? prior : calibration).insert(s.set.source);
    EXPECT_GE(s.set.percent, 0.5) << s.set.name;
    EXPECT_LE(s.set.percent, 10) << s.set.name;
    EXPECT_GE(s.set.temperature_c, 17) << s.set.name;
    // One starter at 37 degC is included for its whole curve.
    EXPECT_LE(s.set.temperature_c, s.set.source == "mitchell1995" ? 37 : 35) << s.set.name;
  }
  EXPECT_GE(all_fitted().size(), 10u);
  EXPECT_EQ(calibration, (std::set<std::string>{"encyclopedia1999", "ijm2020", "kim2016",
                                                "magalhaes2011", "mitchell1995"}));
  EXPECT_EQ(prior.size(), 6u);
}

// The goal: at most 0.20 on every set. No set needs an exception; the worst is the curve of
// lactococci, which is steeper in the middle and flatter at the end than the model's.
TEST(PublishedAcidification, EverySetIsFollowedWithinTwoTenthsOfPh) {
  for (const FittedSet& s : all_fitted()) {
    fmt::print("{:11} {:22} {:8} pace {:.2f}  error {:.3f} pH over {} points\n", word(s.set.use),
               s.set.name, s.set.stated ? "stated" : "assumed", s.fit.pace, s.fit.error_ph,
               s.set.points.size());
    EXPECT_LE(s.fit.error_ph, 0.20) << s.set.name;
    EXPECT_GT(s.fit.pace, 0.2) << s.set.name;  // inside what was searched
    EXPECT_LT(s.fit.pace, 5.0) << s.set.name;
  }
}

TEST(PublishedAcidification, TheMiddleOfTheErrorsIsSmall) {
  std::vector<double> errors;
  for (const FittedSet& s : sets_of_several_points()) errors.push_back(s.fit.error_ph);
  ASSERT_GE(errors.size(), 6u);
  std::sort(errors.begin(), errors.end());
  EXPECT_LE(errors[errors.size() / 2], 0.15);
}

// Temperature and load of the four kefirs are not stated, so only the shape is asked for: from
// where each stood after a day, how far down after 1.5, 2 and 3 times as long?
TEST(PublishedAcidification, TheTailOfFourKefirsHasItsShape) {
  int points = 0;
  for (const FittedSet& s : all_fitted()) {
    if (s.set.source != "kim2016") continue;
    const PhAtClock curve = curve_of(s.set, p);
    const Point& day = s.set.points.front();
    const double day_clock_h = clock_h_at(curve, day.ph);
    for (const Point& later : s.set.points) {
      const double off = curve(day_clock_h * later.time_h / day.time_h) - later.ph;
      EXPECT_NEAR(off, 0.0, 0.15) << s.set.name << ' ' << later.time_h;
      points += later.time_h > day.time_h;
    }
  }
  EXPECT_EQ(points, 12);
}

// What a household does with its pH meter: the first half of a batch says how the second will go.
// Bounded by 0.30, half again the goal: less is known by then.
TEST(PublishedAcidification, TheFirstHalfOfABatchForetellsTheSecond) {
  for (const FittedSet& s : sets_of_several_points()) {
    const auto middle = s.set.points.begin() + static_cast<std::ptrdiff_t>(s.set.points.size() / 2);
    const std::vector<Point> first(s.set.points.begin(), middle),
        second(middle, s.set.points.end());
    const double rate = acid_rate(Celsius(s.set.temperature_c), p);
    const PhAtClock curve = curve_of(s.set, p);
    const Fit fit = fitted(curve, first, rate);
    const double error = error_ph(curve, second, fit.pace * rate);
    fmt::print("{:22} pace by the first half {:.2f}, error on the second {:.3f} pH\n", s.set.name,
               fit.pace, error);
    EXPECT_LE(error, 0.30) << s.set.name;
  }
}

// The prior of the first batch was set from these sources, so this says only that it was set well;
// what nobody had in view is in absolute_test.cpp. Both tests at 95 %.
TEST(Prior, IsTheSpreadOfTheCulturesThatItWasSetFrom) {
  const auto by_source = log_pace_by_source(all_fitted());
  const auto n = static_cast<double>(by_source.size());
  double mean = 0, squares = 0;
  for (const auto& [source, log_pace] : by_source) mean += log_pace / n;
  for (const auto& [source, log_pace] : by_source) squares += std::pow(log_pace - mean, 2);
  const double sd = std::sqrt(squares / (n - 1));
  fmt::print("{} sources: median pace {:.2f}, log sd {:.2f}\n", n, std::exp(mean), sd);

  EXPECT_LE(std::abs(std::log(p.pace_prior_median) - mean), 1.96 * sd / std::sqrt(n));
  ASSERT_EQ(by_source.size(), 11u);  // chi-square with 10 degrees of freedom: 3.25 and 20.48
  const double chi_square = squares / std::pow(p.pace_prior_log_sd, 2);
  EXPECT_GE(chi_square, 3.25);
  EXPECT_LE(chi_square, 20.48);
}

}  // namespace
}  // namespace wheymark::published
