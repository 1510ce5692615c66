// Are household files read as curves.md describes them, and what does the computation make of them?
//
// What is scored is printed, not bounded: a household is no laboratory, and the file that is here
// is invented. Reading is bounded, and so is the computation of the hours.
#include "tests/reference/household_curves.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/core/given.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::published {
namespace {

using namespace literals;

using ::testing::AllOf;
using ::testing::DoubleNear;
using ::testing::HasSubstr;

const std::string header = fmt::format("{}\r\n", fmt::join(household_columns, ","));
const std::string poured =
    "1,0,poured,,room,1,1,1,cow-whole,pasteurised,950,20,20,1250,loose,,,\r\n";

// What the reader says about a file with this text.
std::string why_refused(const std::string& text) {
  const test::TemporaryFolder temporary;
  try {
    (void)household_file(temporary.file("file.csv", text));
  } catch (const std::runtime_error& refused) {
    return refused.what();
  }
  return "";
}

HouseholdBatch read_one(const std::string& rows) {
  const test::TemporaryFolder temporary;
  const HouseholdFile file = household_file(temporary.file("file.csv", header + rows));
  EXPECT_EQ(file.batches.size(), 1u);
  return file.batches.at(0);
}

TEST(HouseholdCurves, EveryFileIsReadWholeAndSaysWhereItIsFrom) {
  const auto files = household_files();
  ASSERT_FALSE(files.empty());
  for (const HouseholdFile& file : files) {
    EXPECT_FALSE(file.comments.empty()) << file.name;
    EXPECT_FALSE(file.batches.empty()) << file.name;
  }
}

TEST(HouseholdCurves, AreScoredAsPublishedBatchesAre) {
  for (const HouseholdFile& file : household_files()) {
    const auto rows = scores_of(file, p);
    double inside = 0, crps_h = 0, a_day_h = 0;
    for (const Foretold& row : rows) {
      fmt::print(
          "{:28} {:24} {:4.1f} h, foretold {:4.1f} ({:4.1f} to {:4.1f})  pace {:.2f}  place "
          "{:.2f}{}\n",
          row.source, row.what, row.hours, row.median_h, row.low_h, row.high_h, row.asked_pace,
          row.place, row.inside() ? "" : "  OUTSIDE");
      inside += row.inside() ? 1 : 0;
      crps_h += row.crps_h;
      a_day_h += std::abs(row.hours - 24);
      EXPECT_TRUE(std::isfinite(row.crps_h)) << row.what;
    }
    const auto n = static_cast<double>(rows.size());
    if (rows.empty()) {
      fmt::print("{}: nothing in it can be scored\n", file.name);
    } else {
      fmt::print("{}: {} of {} inside, CRPS {:.1f} h, of a fixed 24 h {:.1f} h\n", file.name,
                 inside, n, crps_h / n, a_day_h / n);
    }
    for (const HouseholdBatch& batch : file.batches) {
      if (const auto fit = fitted(batch, p)) {
        fmt::print("{} batch {}: pace {:.2f} follows {} measured pH within {:.2f}\n", file.name,
                   batch.batch, fit->pace, batch.ph.size(), fit->error_ph);
      }
    }
  }
}

// At a constant temperature, milk as warm as the room, hours on the clock are hours times the rate.
TEST(HouseholdCurves, TheClockOfASteadyRoomIsItsRateTimesTheHours) {
  const HouseholdBatch batch =
      read_one(poured + "1,0,air,20,,,,,,,,,,,,,,\r\n" + "1,12,air,20,,,,,,,,,,,,,,\r\n");
  const auto clock = ClockOf::made(batch, 24, p);
  ASSERT_TRUE(clock);
  const double rate = acid_rate(20.0_degC, p);
  EXPECT_NEAR(clock->clock_h_at(10.0), 10.0 * rate, 1e-6);
  EXPECT_NEAR(clock->hours_at(10.0 * rate), 10.0, 1e-6);
  EXPECT_NEAR(clock->hours_at(30.0 * rate), 30.0, 1e-6);  // beyond what was read
}

// After a move the air is the new place's at once, not a line from the old to the new.
TEST(HouseholdCurves, AMoveToAnotherPlaceChangesTheAirAtOnce) {
  const HouseholdBatch batch =
      read_one(poured + "1,0,air,20,,,,,,,,,,,,,,\r\n" + "1,6,moved,,fridge,2,,,,,,,,,,,,\r\n" +
               "1,12,air,4,,,,,,,,,,,,,,\r\n");
  const auto clock = ClockOf::made(batch, 48, p);
  ASSERT_TRUE(clock);
  EXPECT_NEAR(clock->clock_h_at(6.0), 6.0 * acid_rate(20.0_degC, p), 1e-6);
  // The milk of a litre is as cold as the fridge after a day, and stands still there.
  EXPECT_NEAR(clock->clock_h_at(47.0) - clock->clock_h_at(40.0), 0.0, 0.02);
}

// A batch whose pH is the curve's own at pace 1.5 asks for a pace of 1.5.
TEST(HouseholdCurves, APaceIsFoundAgain) {
  const AcidCurve curve = AcidCurve::solved({MilkKind::cow_whole, {}, 950, 20}, p);
  const double rate = acid_rate(20.0_degC, p);
  std::string rows = poured + "1,0,air,20,,,,,,,,,,,,,,\r\n";
  for (const double hours : {8.0, 12.0, 16.0}) {
    rows += fmt::format("1,{},ph,{:.3f},,,,,,,,,,,,,,\r\n", hours, curve.at(1.5 * rate * hours).ph);
  }
  const HouseholdBatch batch = read_one(rows);
  const auto scores = scores_of("one", batch, p);
  ASSERT_EQ(scores.size(), 3u);
  // Three decimals of pH are some minutes.
  for (const Foretold& row : scores) EXPECT_NEAR(row.asked_pace, 1.5, 0.01) << row.what;
  EXPECT_NEAR(fitted(batch, p)->pace, 1.5, 0.01);
}

// Seen only once: nobody can say when it came.
TEST(HouseholdCurves, ASignCountsOnlyBetweenTwoLooks) {
  const std::string air = "1,0,air,20,,,,,,,,,,,,,,\r\n";
  EXPECT_THAT(scores_of("one", read_one(poured + air + "1,20,sign,,set,,,,,,,,,,,,,\r\n"), p),
              ::testing::IsEmpty());
  const auto scores = scores_of("one",
                                read_one(poured + air + "1,16,sign,,still-milk,,,,,,,,,,,,,\r\n" +
                                         "1,20,sign,,set,,,,,,,,,,,,,\r\n"),
                                p);
  ASSERT_EQ(scores.size(), 1u);
  EXPECT_THAT(scores[0].hours, DoubleNear(18.0, 1e-9));
}

TEST(HouseholdCurves, AStayWithoutAThermometerIsNotScored) {
  EXPECT_FALSE(ClockOf::made(read_one(poured), 24, p));
  EXPECT_FALSE(ClockOf::made(
      read_one(poured + "1,0,air,20,,,,,,,,,,,,,,\r\n" + "1,6,moved,,room,2,,,,,,,,,,,,\r\n"), 24,
      p));
}

TEST(HouseholdCurves, WhatIsNotAsDescribedIsRefusedWithRowValueAndWhatIsAllowed) {
  EXPECT_THAT(why_refused("batch,hours\r\n"),
              AllOf(HasSubstr("\"batch,hours\""), HasSubstr("batch_since_rest")));
  EXPECT_THAT(why_refused(header + "1,0,air,20,,,,,,,,,,,,,,\r\n"), HasSubstr("poured"));
  EXPECT_THAT(why_refused(header + poured + "1,2,air,warm,,,,,,,,,,,,,,\r\n"),
              AllOf(HasSubstr("row 2"), HasSubstr("\"warm\""), HasSubstr("-5 to 50")));
  EXPECT_THAT(why_refused(header + poured + "1,2,ph,nan,,,,,,,,,,,,,,\r\n"),
              HasSubstr("2.5 to 7.5"));
  EXPECT_THAT(why_refused(header + poured + "1,2,sign,,curdled,,,,,,,,,,,,,\r\n"),
              AllOf(HasSubstr("\"curdled\""), HasSubstr("whey-pockets")));
  EXPECT_THAT(why_refused(header + poured + "1,2,smell,,sour,,,,,,,,,,,,,\r\n"),
              AllOf(HasSubstr("\"smell\""), HasSubstr("given-up")));
  EXPECT_THAT(why_refused(header + poured + "1,5,air,20,,,,,,,,,,,,,,\r\n" +
                          "1,4,air,20,,,,,,,,,,,,,,\r\n"),
              HasSubstr("5 to"));
  EXPECT_THAT(why_refused(header + poured + "1,5,strained,,right,,,,,,,,,,,,,\r\n" +
                          "1,6,ph,4.2,,,,,,,,,,,,,,\r\n"),
              HasSubstr("ended"));
  EXPECT_THAT(
      why_refused(header + "1,0,poured,,room,1,1,1,oat,pasteurised,950,20,20,1250,loose,,,\r\n"),
      AllOf(HasSubstr("\"oat\""), HasSubstr("buffalo")));
}

}  // namespace
}  // namespace wheymark::published
