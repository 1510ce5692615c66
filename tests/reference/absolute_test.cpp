// Are published hours where the forecast of a first batch expects them, with no pace fitted?
#include "tests/reference/absolute.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/core/given.hpp"

namespace wheymark::published {
namespace {

std::vector<Foretold> rows_of(const std::function<bool(const Foretold&)>& wanted) {
  std::vector<Foretold> some;
  for (const Foretold& row : foretold(p)) {
    if (wanted(row)) some.push_back(row);
  }
  return some;
}

double inside_of(const std::vector<Foretold>& rows, double& sources) {
  double inside = 0;
  const auto by_source =
      mean_by_source(rows, [](const Foretold& row) { return row.inside() ? 1.0 : 0.0; });
  for (const auto& [source, share] : by_source) inside += share;
  sources = static_cast<double>(by_source.size());
  return inside;
}

TEST(AbsoluteHours, EightyPerCentOfTheFirstBatchHoldAboutEightyPerCentOfTheSources) {
  for (const Foretold& row : foretold(p)) {
    fmt::print(
        "{:11} {:16} {:28} {:7} pH {:.2f}: published {:4.1f} h, foretold {:4.1f} ({:.1f} to {:.1f})"
        "  place {:.2f}{}\n",
        word(row.use), row.source, row.what, row.stated ? "stated" : "assumed", row.ph, row.hours,
        row.median_h, row.low_h, row.high_h, row.place, row.inside() ? "" : "  OUTSIDE");
  }
  double sources = 0;
  const double inside = inside_of(foretold(p), sources);
  fmt::print("{:.1f} of {} sources inside\n", inside, sources);
  // Sixteen draws of 80 %: nine or fewer inside has a chance of 3 %, all of them one of 3 %.
  ASSERT_EQ(sources, 16);
  EXPECT_GT(inside, 9.0);
  EXPECT_LT(inside, 16.0);
}

TEST(AbsoluteHours, TheSealedSourcesAreForetoldLikeTheOthers) {
  double sources = 0;
  const double inside =
      inside_of(rows_of([](const Foretold& row) { return row.use == Use::sealed; }), sources);
  fmt::print("{:.1f} of {} sealed sources inside\n", inside, sources);
  // Five draws of 80 %: two or fewer inside has a chance of 6 %.
  ASSERT_EQ(sources, 5);
  EXPECT_GE(inside, 3.0);
}

TEST(AbsoluteHours, AreNeitherAllLateNorAllEarly) {
  double mean = 0;
  const auto places = mean_by_source(foretold(p), [](const Foretold& row) { return row.place; });
  for (const auto& [source, place] : places) mean += place / static_cast<double>(places.size());
  fmt::print("mean place {:.2f}\n", mean);
  // Of a good forecast 0.5, and its mean over n sources scatters by 0.29 / sqrt(n); 95 %.
  EXPECT_NEAR(mean, 0.5, 1.96 * 0.289 / std::sqrt(static_cast<double>(places.size())));
}

TEST(AbsoluteHours, ForetellBetterThanAlwaysSayingADay) {
  const auto rows = rows_of([](const Foretold& row) { return row.ended; });
  const auto ours = mean_by_source(rows, [](const Foretold& row) { return row.crps_h; });
  const auto a_day =
      mean_by_source(rows, [](const Foretold& row) { return std::abs(row.hours - 24); });
  double sum_ours = 0, sum_a_day = 0;
  for (const auto& [source, crps] : ours) {
    sum_ours += crps;
    sum_a_day += a_day.at(source);
    fmt::print("{:18} CRPS {:.1f} h, of a fixed 24 h {:.1f} h\n", source, crps, a_day.at(source));
  }
  const auto n = static_cast<double>(ours.size());
  fmt::print("mean CRPS {:.2f} h, of a fixed 24 h {:.2f} h\n", sum_ours / n, sum_a_day / n);
  EXPECT_LT(sum_ours, sum_a_day);
}

TEST(AbsoluteHours, TheScoreIsTheRankedProbabilityScore) {
  // All weight on one pace: the distance. Half and half at 10 and 20 h, seen 10: 5 - 5 / 2.
  const HoursAtPace at_ten = [](double pace) { return 10.0 / pace; };
  pace_grid::OverPaces one{};
  one[90] = 1;  // pace 1
  EXPECT_NEAR(crps_h(one, at_ten, 13.0), 3.0, 1e-12);
  pace_grid::OverPaces two{};
  two[90] = 0.5;
  two[80] = 0.5;
  const double slow_h = 10.0 * std::exp(0.2);
  EXPECT_NEAR(crps_h(two, at_ten, 10.0), 0.25 * (slow_h - 10.0), 1e-9);
}

}  // namespace
}  // namespace wheymark::published
