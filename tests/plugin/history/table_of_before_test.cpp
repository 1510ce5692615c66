// A table of before is read as people and spreadsheets write it, and what is wrong is named by line
// and column.
#include "plugin/history/table_of_before.hpp"

#include <chrono>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plugin/wire/instant_text.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::StartsWith;

Instant at_instant(const char* text) {
  return instant_from_rfc3339(text).value();
}

TEST(ATableOfBefore, IsReadAsASpreadsheetWritesIt) {
  const TableOfBefore table = table_of_before(
      "\xef\xbb\xbfjar,started,\"hours\",room_c,milk\r\n"
      "blue,2026-12-01T08:10:00+01:00,23.5,20.5,goat\r\n"
      "\"blue\",2026-12-03 08:10,24,,\r\n",
      small_setup());
  ASSERT_THAT(table.complaints, IsEmpty());
  ASSERT_EQ(table.rows.size(), 2U);
  const Remembered& first = table.rows[0].batch;
  EXPECT_EQ(first.start.jar, "blue");
  EXPECT_EQ(first.start.milk, MilkKind::goat);
  EXPECT_EQ(first.started, at_instant("2026-12-01T07:10:00Z"));
  EXPECT_EQ(first.strained, at_instant("2026-12-02T06:40:00Z"));
  EXPECT_EQ(first.room_c, 20.5);
  EXPECT_FALSE(table.rows[1].batch.room_c);
  EXPECT_EQ(table.rows[1].line, 3U);
}

TEST(ATableOfBefore, TakesAnInstantWithoutAZoneAsTheHomes) {
  HouseholdSetup setup = small_setup();
  setup.utc_offset = [](Instant) { return std::chrono::minutes{120}; };
  const TableOfBefore table =
      table_of_before("jar,started,hours\nblue,2019-07-01 08:10:30,20\n", setup);
  ASSERT_THAT(table.complaints, IsEmpty());
  EXPECT_EQ(table.rows.front().batch.started, at_instant("2019-07-01T06:10:30Z"));
}

TEST(ATableOfBefore, LeavesOutWhatWasNeverStrainedAndFindsTheCulturesJar) {
  const TableOfBefore table = table_of_before(
      "batch,culture,started,strained,peak_h,over_fermented,ending\n"
      "1,tilly,2026-12-01T08:00:00Z,2026-12-02T07:00:00Z,22,false,finished\n"
      "2,tilly,2026-12-02T08:00:00Z,,,false,discarded\n",
      small_setup());
  ASSERT_THAT(table.complaints, IsEmpty());
  EXPECT_EQ(table.never_strained, 1U);
  ASSERT_EQ(table.rows.size(), 1U);
  EXPECT_EQ(table.rows.front().batch.start.jar, "blue");
  EXPECT_EQ(table.rows.front().batch.peak, at_instant("2026-12-02T06:00:00Z"));
}

TEST(ATableOfBefore, ComplainsOfEveryWrongPlaceAtOnce) {
  const TableOfBefore table = table_of_before(
      "jar,started,hours,milk,verdict\n"
      "blue,yesterday,20,goat,\n"
      "blue,2026-12-01T08:00:00Z,a day,goat,\n"
      "blue,2026-12-02T08:00:00Z,20,camel,\n"
      "blue,2026-12-03T08:00:00Z,20\n"
      "blue,2026-12-04T08:00:00Z,500,goat,\n"
      "blue,2026-12-05T08:00:00Z,20,goat,perfect\n",
      small_setup());
  EXPECT_THAT(
      table.complaints,
      ElementsAre(
          AllOf(StartsWith("line 2: column started: found \"yesterday\""), HasSubstr("RFC 3339")),
          StartsWith("line 3: column hours: found \"a day\"; allowed: a number"),
          AllOf(StartsWith("line 4: column milk: found \"camel\""), HasSubstr("cow-whole")),
          "line 5: found 3 cells; allowed: 5, as in the header",
          AllOf(StartsWith("line 6: column hours: found \"500\""), HasSubstr("168 h")),
          AllOf(StartsWith("line 7: column verdict: found \"perfect\""),
                HasSubstr("early, right, late"))));
}

TEST(ATableOfBefore, NeedsColumnsThatSayWhen) {
  EXPECT_THAT(table_of_before("", small_setup()).complaints, ElementsAre(HasSubstr("is empty")));
  EXPECT_THAT(table_of_before("jar,hours\nblue,20\n", small_setup()).complaints,
              ElementsAre("line 1: found no column started; it is required"));
  EXPECT_THAT(table_of_before("started\n2026-12-01T08:00:00Z\n", small_setup()).complaints,
              ElementsAre(HasSubstr("neither strained nor hours")));
  EXPECT_THAT(table_of_before("started,hours,verdcit\n", small_setup()).complaints,
              ElementsAre(AllOf(HasSubstr("line 1: found the column \"verdcit\""),
                                HasSubstr("did you mean \"verdict\"?"))));
  EXPECT_THAT(table_of_before("started,hours,hours\n", small_setup()).complaints,
              ElementsAre(HasSubstr("\"hours\" twice")));
}

}  // namespace
}  // namespace wheymark::test
