// The disk fails at every place where it can. Whatever was acknowledged is there afterwards;
// whatever was refused is not; and the store works again once the disk does.
#include "tests/plugin/store/failing_disk.hpp"

#include <csignal>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <string>
#include <sys/wait.h>
#include <unistd.h>
#include <vector>

#include "core/basis/limits.hpp"
#include "tests/plugin/store/on_disk.hpp"

namespace wheymark {
namespace {

using testing::AnyOf;
using testing::Eq;
using testing::HasSubstr;

class OnAFailingDisk : public OnDisk {
 protected:
  // One act of a household, several pages long: readings that wait, a fact and its announcement,
  // two messages for the outbox, one retained topic. What was accepted goes to `kept`.
  static void act(Store& store, int i, Content& kept) {
    const std::string number = std::to_string(i);
    const JournalRow waits = reading(i, "kitchen", 20.0 + i);
    if (commit_soon(store, {waits})) kept.journal.push_back(line(waits));

    const JournalRow said = fact(i, number + std::string(6'000, 'f'));
    const JournalRow announced{JournalRow::Kind::announced, at_ms(i), "", 0.0, number};
    std::vector<OutboxMessage> messages{message("a/" + number, std::string(5'000, 'p')),
                                        message("b/" + number, "small")};
    if (store.commit({said, announced}, messages, Durable::at_once)) {
      kept.journal.push_back(line(said));
      kept.journal.push_back(line(announced));
      for (const OutboxMessage& one : messages) kept.outbox.push_back(line(one));
    } else {
      for (const OutboxMessage& one : messages)
        EXPECT_EQ(one.delivery, 0U) << "refused, but numbered";
    }
    if (store.remember_retained({"h/" + number}, {})) kept.retained.push_back("h/" + number);
  }

  FailingDisk disk_;
};

TEST_F(OnAFailingDisk, ReadingsDoNotWaitForItOneByOne) {
  constexpr int readings = 20'000;
  std::vector<JournalRow> rows;
  {
    auto store = opened();
    disk_.is_well();
    for (int i = 0; i < readings; ++i) {
      rows.push_back(reading(i, "kitchen", 20.0 + i * 0.001));
      ASSERT_TRUE(commit_soon(*store, {rows.back()}));
    }
    ASSERT_TRUE(store->flush());
  }

  // A transaction for each reading would be twice as many changes as readings: a write and a sync.
  EXPECT_LT(disk_.changes(), readings / 2);
  EXPECT_EQ(lines(journal_of(*opened())), lines(rows));
}

TEST_F(OnAFailingDisk, EveryFailureIsRefusedWholeAndTheNextCommitWorksAgain) {
  for (const int code : {SQLITE_FULL, SQLITE_IOERR}) {
    bool went_through = false;
    for (int n = 1; !went_through; ++n) {
      SCOPED_TRACE("change " + std::to_string(n) + ", SQLite " + std::to_string(code));
      ASSERT_LT(n, 500);
      std::filesystem::remove(file_);
      Content kept;
      {
        auto store = opened();
        act(*store, 1, kept);
        disk_.fails_once_at(n, code);
        act(*store, 2, kept);
        went_through = !disk_.has_failed();
        disk_.is_well();
        act(*store, 3, kept);
        EXPECT_EQ(content_of(*store), kept);
      }
      EXPECT_EQ(content_of(*opened()), kept);
      if (HasFailure()) return;
    }
  }
}

TEST_F(OnAFailingDisk, AFullDiskCostsNothingThatWasAcceptedAndTakesUpWorkWhenThereIsSpace) {
  Content kept;
  {
    auto store = opened();
    act(*store, 1, kept);
    disk_.fails_from(1, SQLITE_FULL);
    for (int i = 2; i < 20; ++i) act(*store, i, kept);
    EXPECT_EQ(content_of(*store), kept) << "what was accepted can be read on a full disk, too";

    std::vector<OutboxMessage> none;
    const Outcome full = store->flush();
    ASSERT_FALSE(full);
    EXPECT_THAT(full.why(), HasSubstr(file_));
    EXPECT_THAT(full.why(), HasSubstr("full"));

    disk_.is_well();
    act(*store, 20, kept);
  }
  EXPECT_EQ(kept.journal.size(), 20U + 2U * 2U) << "every reading and two acts";
  EXPECT_EQ(content_of(*opened()), kept);
}

TEST_F(OnAFailingDisk, MoreReadingsThanMayWaitAreRefusedAndTheEarlierOnesAreKept) {
  std::size_t accepted = 0;
  {
    auto store = opened();
    disk_.fails_from(1, SQLITE_FULL);
    for (std::size_t i = 0; i < limits::journal_rows_waiting_max + 100; ++i) {
      if (commit_soon(*store, {reading(static_cast<std::int64_t>(i), "kitchen", 20.0)})) ++accepted;
    }
    disk_.is_well();
  }
  EXPECT_EQ(accepted, limits::journal_rows_waiting_max);
  const auto rows = journal_of(*opened());
  ASSERT_EQ(rows.size(), accepted);
  EXPECT_EQ(rows.back().at, at_ms(static_cast<std::int64_t>(accepted) - 1));
}

TEST_F(OnAFailingDisk, ADeliveryThatCannotBeForgottenIsDeliveredAgainAndNotLost) {
  {
    auto store = opened();
    std::vector<OutboxMessage> messages{message("a/b", "one"), message("a/b", "two")};
    ASSERT_TRUE(store->commit({}, messages, Durable::at_once));
    disk_.fails_from(1, SQLITE_FULL);
    EXPECT_TRUE(store->delivered(messages[0].delivery));
    EXPECT_EQ(content_of(*store).outbox.size(), 1U);
  }
  disk_.is_well();
  EXPECT_EQ(content_of(*opened()).outbox.size(), 2U);
}

// A power cut at every place, from the making of the file on. The disk keeps either everything that
// it was given, the last write by half, or only what it was told to sync.
class APowerCut : public OnAFailingDisk, public testing::WithParamInterface<bool> {};

TEST_P(APowerCut, CostsNothingThatWasAcknowledged) {
  const bool unsynced_is_lost = GetParam();
  bool went_through = false;
  for (int n = 1; !went_through; ++n) {
    SCOPED_TRACE("cut at change " + std::to_string(n));
    ASSERT_LT(n, 500);
    for (const std::string& name : names_in_folder()) {
      std::filesystem::remove(folder_ + "/" + name);
    }
    Content acknowledged;
    Content with_the_refused;  // SQLite may have synced a commit and fail on its last padding
    disk_.fails_from(n, SQLITE_IOERR);
    if (auto store = open_store(file_)) {
      for (int i = 1; i <= 3 && !disk_.has_failed(); ++i) {
        const std::string number = std::to_string(i);
        const JournalRow said = fact(i, number + std::string(6'000, 'f'));
        const OutboxMessage sent = message("a/" + number, std::string(5'000, 'p'));
        with_the_refused.journal.push_back(line(said));
        with_the_refused.outbox.push_back(line(sent));
        if (!commit_now(*store.value(), {said}, {sent})) break;
        acknowledged = with_the_refused;
      }
      // A cut while closing, too: here the log is moved into the main file.
    }
    went_through = !disk_.has_failed();
    disk_.is_well();
    if (unsynced_is_lost) disk_.forgets_what_was_not_synced();

    const Content found = content_of(*opened());
    EXPECT_THAT(found, AnyOf(Eq(acknowledged), Eq(with_the_refused)));
    if (HasFailure()) return;
  }
}

INSTANTIATE_TEST_SUITE_P(OfADiskThat, APowerCut, testing::Bool(), [](const auto& which) {
  return which.param ? "KeepsOnlyWhatWasSynced" : "KeepsEverythingItWasGiven";
});

TEST_F(OnAFailingDisk, AStoreThatMayOnlyBeReadIsRefused) {
  ASSERT_TRUE(commit_now(*opened(), {fact(1, "{}")}));
  const std::string before = text_of_file(file_);

  disk_.is_write_protected(true);
  EXPECT_THAT(refused(), HasSubstr("not written"));

  disk_.is_write_protected(false);
  EXPECT_TRUE(text_of_file(file_) == before);
  EXPECT_EQ(journal_of(*opened()).size(), 1U);
}

TEST_F(OnAFailingDisk, ADiskErrorWhileOpeningIsNotTakenForDamage) {
  ASSERT_TRUE(commit_now(*opened(), {fact(1, "{}")}));

  disk_.cannot_be_read(true);
  EXPECT_THAT(refused(), HasSubstr("cannot be opened"));

  disk_.cannot_be_read(false);
  EXPECT_EQ(journal_of(*opened()).size(), 1U);
}

class AKilledProcess : public OnDisk {};

TEST_F(AKilledProcess, LosesNothingThatItHadAcknowledged) {
  int last = 0;  // what the journal ends with
  for (const int acknowledgements : {1, 2, 7, 40, 200}) {
    int told[2];
    ASSERT_EQ(pipe(told), 0);
    const pid_t child = fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      const auto store = open_store(file_);
      for (int i = last + 1; store.ok(); ++i) {
        const std::string number = std::to_string(i);
        if (!commit_soon(*store.value(), {reading(i, "kitchen", i)}) ||
            !commit_now(*store.value(), {fact(i, number)}, {message("a/b", number)}) ||
            write(told[1], &i, sizeof i) != sizeof i) {
          break;
        }
      }
      _exit(1);
    }
    close(told[1]);
    int acknowledged = 0;
    for (int i = 0; i < acknowledgements; ++i) {
      ASSERT_EQ(read(told[0], &acknowledged, sizeof acknowledged),
                static_cast<ssize_t>(sizeof acknowledged));
    }
    kill(child, SIGKILL);  // in the middle of whatever it does now
    waitpid(child, nullptr, 0);
    while (read(told[0], &acknowledged, sizeof acknowledged) > 0) {
    }
    close(told[0]);

    auto store = opened();
    Content whole;
    const auto rows = journal_of(*store);
    last = static_cast<int>(rows.size()) / 2;
    for (int i = 1; i <= last; ++i) {
      const std::string number = std::to_string(i);
      whole.journal.push_back(line(reading(i, "kitchen", i)));
      whole.journal.push_back(line(fact(i, number)));
      whole.outbox.push_back(line(message("a/b", number)));
    }
    EXPECT_EQ(content_of(*store), whole);
    EXPECT_GE(last, acknowledged);
    EXPECT_LE(last, acknowledged + 1);
  }
}

}  // namespace
}  // namespace wheymark
