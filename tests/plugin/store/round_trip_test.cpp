// What is given to the store comes back: the same, all of it, in order.
#include <cmath>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <limits>
#include <string>
#include <vector>

#include "tests/plugin/store/on_disk.hpp"

namespace wheymark {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class AStore : public OnDisk {};

TEST_F(AStore, GivesBackEveryKindOfRowInTheOrderOfTheCommits) {
  const std::vector<JournalRow> rows{
      fact(5'000, R"({"fact":"start","jar":"swing-1"})"),
      reading(4'000, "kitchen", 21.4),  // late, and still second
      {JournalRow::Kind::doubt, at_ms(6'000), "", 0.0, R"({"doubt":"stuck"})"},
      {JournalRow::Kind::announced, at_ms(-1), "", 0.0, R"({"said":"peak-near"})"}};
  {
    auto store = opened();
    ASSERT_TRUE(commit_now(*store, {rows[0], rows[1]}));
    ASSERT_TRUE(commit_now(*store, {rows[2], rows[3]}));
  }

  EXPECT_EQ(lines(journal_of(*opened())), lines(rows));
}

TEST_F(AStore, KeepsNumbersToTheBit) {
  using Limits = std::numeric_limits<double>;
  const std::vector<double> degrees{0.0,
                                    -0.0,
                                    21.0,
                                    0.1,
                                    1.0 / 3.0,
                                    -40.000000000000007,
                                    Limits::denorm_min(),
                                    Limits::max(),
                                    Limits::lowest(),
                                    Limits::infinity(),
                                    -Limits::infinity(),
                                    9007199254740993.0,
                                    1e300};
  std::vector<JournalRow> rows;
  for (const double c : degrees) rows.push_back(reading(1, "kitchen", c));
  ASSERT_TRUE(commit_now(*opened(), rows));

  EXPECT_EQ(lines(journal_of(*opened())), lines(rows));
}

TEST_F(AStore, KeepsNotANumberAsNotANumber) {
  ASSERT_TRUE(commit_now(
      *opened(), {reading(1, "kitchen", std::nan("")), reading(2, "kitchen", -std::nan("7"))}));

  const auto rows = journal_of(*opened());
  ASSERT_EQ(rows.size(), 2U);
  EXPECT_TRUE(std::isnan(rows[0].value));
  EXPECT_TRUE(std::isnan(rows[1].value));
}

TEST_F(AStore, KeepsTheFirstAndTheLastInstantThatThereIs) {
  const std::vector<JournalRow> rows{reading(std::numeric_limits<std::int64_t>::min(), "k", 1.0),
                                     reading(std::numeric_limits<std::int64_t>::max(), "k", 1.0)};
  ASSERT_TRUE(commit_now(*opened(), rows));

  EXPECT_EQ(lines(journal_of(*opened())), lines(rows));
}

TEST_F(AStore, KeepsOddTextsToTheByte) {
  const std::vector<std::string> texts{"",
                                       R"('; DROP TABLE journal; --")",
                                       std::string("a\0b\0", 4),
                                       std::string(1, '\0'),
                                       "\xff\xfe\xc3(\xed\xa0\x80",  // no UTF-8
                                       "\xef\xbb\xbf\xd0\xba\xd0\xb5\xd1\x84\xd0\xb8\xd1\x80",
                                       "line\r\nline\t%s %1$n",
                                       std::string(16 * 1024, 'x')};
  Content given;
  {
    auto store = opened();
    for (const std::string& text : texts) {
      const JournalRow row{JournalRow::Kind::fact, at_ms(1), text, 0.0, text};
      const OutboxMessage sent{0, text, text, text, 2};
      ASSERT_TRUE(commit_now(*store, {row}, {sent}));
      given.journal.push_back(line(row));
      given.outbox.push_back(line(sent));
      ASSERT_TRUE(store->remember_retained({text}, {}));
    }
  }
  given.retained = texts;
  std::sort(given.retained.begin(), given.retained.end());

  EXPECT_EQ(content_of(*opened()), given);
}

TEST_F(AStore, KeepsRowsForLaterInTheirPlaceBeforeTheNextCommit) {
  {
    auto store = opened();
    ASSERT_TRUE(commit_soon(*store, {reading(1, "kitchen", 20.0)}));
    ASSERT_TRUE(commit_soon(*store, {reading(2, "kitchen", 20.5)}));
    ASSERT_TRUE(commit_now(*store, {fact(3, "{}")}));
    ASSERT_TRUE(commit_soon(*store, {reading(4, "kitchen", 21.0)}));
    ASSERT_TRUE(store->flush());
  }

  EXPECT_EQ(lines(journal_of(*opened())),
            lines<JournalRow>({reading(1, "kitchen", 20.0), reading(2, "kitchen", 20.5),
                               fact(3, "{}"), reading(4, "kitchen", 21.0)}));
}

TEST_F(AStore, ReadsAlsoWhatIsStillToBeWritten) {
  auto store = opened();
  ASSERT_TRUE(commit_now(*store, {fact(1, "{}")}));
  ASSERT_TRUE(commit_soon(*store, {reading(2, "kitchen", 20.0)}));

  EXPECT_EQ(lines(journal_of(*store)),
            lines<JournalRow>({fact(1, "{}"), reading(2, "kitchen", 20.0)}));
}

TEST_F(AStore, WritesWhatWaitsWhenItIsClosed) {
  ASSERT_TRUE(commit_soon(*opened(), {reading(1, "kitchen", 20.0)}));

  EXPECT_EQ(journal_of(*opened()).size(), 1U);
}

TEST_F(AStore, StopsReadingWhereTheReaderRefusesAndSaysWhatItSaid) {
  auto store = opened();
  ASSERT_TRUE(commit_now(*store, {fact(1, "a"), fact(2, "b"), fact(3, "c")}));
  std::vector<std::string> seen;

  const Outcome read = store->read_journal([&](const JournalRow& row) {
    seen.push_back(row.body);
    return row.body == "b" ? Outcome(Refusal{"b is bad"}) : Outcome(Nothing{});
  });

  ASSERT_FALSE(read);
  EXPECT_EQ(read.why(), "b is bad");
  EXPECT_THAT(seen, ElementsAre("a", "b"));
  EXPECT_TRUE(commit_now(*store, {fact(4, "d")})) << "a stopped reader holds nothing up";
}

TEST_F(AStore, HasNothingBesideItsFileOnceItIsClosed) {
  ASSERT_TRUE(commit_now(*opened(), {fact(1, "{}")}));

  EXPECT_THAT(names_in_folder(), ElementsAre("wheymark.db"));
}

TEST_F(AStore, KeepsItsLogBoundedHoweverMuchIsWritten) {
  auto store = opened();
  for (int i = 0; i < 200; ++i) {
    ASSERT_TRUE(commit_now(*store, {fact(i, std::string(80'000, 'x'))}));
  }

  // 16 MB were written; the log may hold its 4 MB and the transaction that went past them.
  EXPECT_LT(std::filesystem::file_size(file_ + "-wal"), 5'000'000U);
}

TEST_F(AStore, NeedsAKnownKindOfRowAndQosOfMqtt) {
  auto store = opened();
  JournalRow unknown = fact(1, "{}");
  unknown.kind = static_cast<JournalRow::Kind>(5);
  OutboxMessage qos_3 = message("a/b", "{}");
  qos_3.qos = 3;

  EXPECT_THROW((void)commit_soon(*store, {unknown}), BrokenCheck);
  EXPECT_THROW((void)commit_now(*store, {}, {qos_3}), BrokenCheck);
  EXPECT_THAT(journal_of(*store), IsEmpty());
}

TEST(AStoreInMemory, WorksAndKeepsNothing) {
  {
    auto store = open_store(":memory:");
    ASSERT_TRUE(store.ok());
    ASSERT_TRUE(commit_now(*store.value(), {fact(1, "{}")}, {message("a/b", "{}")}));
    EXPECT_EQ(content_of(*store.value()).journal.size(), 1U);
    EXPECT_EQ(content_of(*store.value()).outbox.size(), 1U);
  }
  auto again = open_store(":memory:");
  ASSERT_TRUE(again.ok());
  EXPECT_EQ(content_of(*again.value()), Content{});
  EXPECT_FALSE(std::filesystem::exists(":memory:"));
}

}  // namespace
}  // namespace wheymark
