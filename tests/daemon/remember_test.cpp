// A table of batches of before is taken in by a command: all of it or nothing, and once.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <string>

#include "tests/daemon/process.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

constexpr const char* home = R"({
  "home": { "name": "Test" }, "broker": { "url": "mqtt://127.0.0.1:1" }, "store": "home.db",
  "places": [ { "id": "kitchen", "kind": "room" } ],
  "cultures": [ { "id": "tilly", "name": "Tilly" } ],
  "jars": [ { "id": "blue", "capacity_ml": 1250, "place": "kitchen", "culture": "tilly",
              "milk": "cow-whole", "milk_ml": 950, "grain_g": 20 } ] })";
constexpr const char* table_of_before =
    "started,hours,room_c,verdict\n"
    "2025-12-01 08:10,23.5,20.5,right\n"
    "2025-12-03 08:10,24,20,late\n";

class RememberedTable : public ::testing::Test {
 protected:
  struct Called {
    std::optional<int> status;
    std::string out;
    std::string err;
  };
  Called remember(const std::string& csv, const std::string& store) {
    return call(
        {"remember", "--csv", folder.file("table.csv", csv), "--store", folder.path_of(store)});
  }
  Called export_of(const std::string& store) {
    return call({"export", "--store", folder.path_of(store)});
  }
  Called call(std::vector<std::string> words) {
    words.insert(words.begin(), WHEYMARKD);
    words.insert(words.end(), {"--config", config});
    Process process(words);
    const auto status = process.exit_status();
    return {status, process.out(), process.err()};
  }

  TemporaryFolder folder;
  const std::string config = folder.file("home.json", home);
};

TEST_F(RememberedTable, IsHistoryAndEvidenceAndCountsOnce) {
  const Called first = remember(table_of_before, "a.db");
  EXPECT_EQ(first.status, 0) << first.err;
  EXPECT_EQ(first.out, "2 batches of before are remembered\n");
  const Called again = remember(table_of_before, "a.db");
  EXPECT_EQ(again.status, 0) << again.err;
  EXPECT_EQ(again.out, "0 batches of before are remembered; 2 were known already\n");

  const Called table = export_of("a.db");
  EXPECT_THAT(table.out, AllOf(HasSubstr(",2025-12-01T08:10:00Z,"), HasSubstr(",23.5,right,"),
                               HasSubstr(",2025-12-03T08:10:00Z,"), HasSubstr(",24,late,")));
  EXPECT_THAT(call({"explain", "--jar", "blue", "--store", folder.path_of("a.db")}).out,
              HasSubstr("How fast Tilly is, 2 batches have shown"));
}

TEST_F(RememberedTable, ThatWasExportedIsTakenInElsewhereAndIsKnownWhereItCameFrom) {
  ASSERT_EQ(remember(table_of_before, "a.db").status, 0);
  const std::string exported = export_of("a.db").out;
  EXPECT_EQ(remember(exported, "a.db").out,
            "0 batches of before are remembered; 2 were known already\n");
  EXPECT_EQ(remember(exported, "b.db").out, "2 batches of before are remembered\n");
  EXPECT_EQ(export_of("b.db").out, exported);
}

TEST_F(RememberedTable, WithAWrongLineIsRefusedAsAWholeAndEveryWrongPlaceIsTold) {
  const std::string wrong = std::string(table_of_before) +
                            "2025-12-03 20:10,10,20,right\n"
                            "2025-12-05 08:10,24,60,right\n"
                            "2025-12-07 08:10,24,20,perfect\n";
  const Called called = remember(wrong, "a.db");
  EXPECT_EQ(called.status, 1);
  EXPECT_EQ(called.out, "");
  EXPECT_THAT(called.err, HasSubstr("line 4: the same jar holds the batch of line 3 then"));
  EXPECT_THAT(called.err, HasSubstr("line 5: room_c is 60 degC; allowed is 8 to 38 degC"));
  EXPECT_THAT(called.err, HasSubstr("line 6: column verdict: found \"perfect\""));
  EXPECT_THAT(export_of("a.db").out, Not(HasSubstr("2025-12-01")));
}

TEST_F(RememberedTable, IsACallThatNeedsItsFile) {
  EXPECT_EQ(call({"remember"}).status, 2);
  const Called absent = call({"remember", "--csv", folder.path_of("absent.csv")});
  EXPECT_EQ(absent.status, 1);
  EXPECT_THAT(absent.err, HasSubstr("absent.csv"));
}

}  // namespace
}  // namespace wheymark::test
