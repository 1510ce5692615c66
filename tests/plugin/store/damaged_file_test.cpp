// A damaged store is never believed and never lost: what is read is what was written, or the file
// is set aside as it was found.
#include <array>
#include <filesystem>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <string>

#include "tests/plugin/store/on_disk.hpp"

namespace wheymark {
namespace {

using testing::HasSubstr;
using testing::Not;
using testing::UnorderedElementsAre;

class ADamagedStore : public OnDisk {
 protected:
  // A store that was in use for a while, and closed.
  void was_kept() {
    auto store = opened();
    for (int i = 0; i < 40; ++i) {
      ASSERT_TRUE(commit_now(*store, {fact(i, R"({"fact":"sign","sign":"set"})"),
                                      reading(i, "kitchen", 20.0 + i / 7.0)}));
    }
    ASSERT_TRUE(commit_now(*store, {}, {message("a/b", "one"), message("a/c", "two")}));
    ASSERT_TRUE(store->remember_retained({"h/a", "h/b"}, {}));
    kept_ = content_of(*store);
    store.reset();
    bytes_ = text_of_file(file_);
  }

  void is_set_aside_as(const std::string& name) {
    const std::string damaged = text_of_file(file_);

    const std::string why = refused();
    EXPECT_THAT(why, HasSubstr(folder_ + "/" + name));
    EXPECT_THAT(why, Not(HasSubstr("\n"))) << "a refusal is one sentence";

    EXPECT_TRUE(text_of_file(folder_ + "/" + name) == damaged);
    EXPECT_FALSE(std::filesystem::exists(file_));
  }

  Content kept_;
  std::string bytes_;
};

TEST_F(ADamagedStore, WithABrokenHeaderIsSetAsideAndTheNextOpeningStartsEmpty) {
  was_kept();
  write_bytes(file_, bytes_.replace(0, 16, 16, '\0'));

  is_set_aside_as("wheymark.db.damaged-1");
  EXPECT_EQ(content_of(*opened()), Content{});
}

TEST_F(ADamagedStore, WhoseFirstSectorIsGoneIsStillKnownAsOurs) {
  was_kept();
  write_bytes(file_, bytes_.replace(0, 512, 512, '\0'));

  is_set_aside_as("wheymark.db.damaged-1");
}

TEST_F(ADamagedStore, ThatIsCutOffIsSetAside) {
  was_kept();
  write_bytes(file_, bytes_.substr(0, bytes_.size() - 1'000));

  is_set_aside_as("wheymark.db.damaged-1");
}

TEST_F(ADamagedStore, NeverTakesAnEarlierOnesName) {
  for (std::size_t n = 1; n <= 3; ++n) {
    was_kept();
    write_bytes(file_, bytes_.substr(0, bytes_.size() - 100 * n));
    is_set_aside_as("wheymark.db.damaged-" + std::to_string(n));
  }

  for (std::size_t n = 1; n <= 3; ++n) {
    EXPECT_EQ(text_of_file(file_ + ".damaged-" + std::to_string(n)).size(),
              bytes_.size() - 100 * n);
  }
}

TEST_F(ADamagedStore, DoesNotOverwriteALogOrALinkThatHasItsNameEither) {
  write_bytes(file_ + ".damaged-1-wal", "somebody rescued the main file only");
  std::filesystem::create_symlink("/nowhere", file_ + ".damaged-2");
  was_kept();
  write_bytes(file_, bytes_.substr(0, bytes_.size() - 100));

  is_set_aside_as("wheymark.db.damaged-3");
  EXPECT_EQ(text_of_file(file_ + ".damaged-1-wal"), "somebody rescued the main file only");
}

TEST_F(ADamagedStore, TakesItsLogAlong) {
  was_kept();
  write_bytes(file_, bytes_.substr(0, bytes_.size() - 1'000));
  write_bytes(file_ + "-wal", "what is left of a log");

  is_set_aside_as("wheymark.db.damaged-1");
  EXPECT_EQ(text_of_file(file_ + ".damaged-1-wal"), "what is left of a log");
  EXPECT_THAT(names_in_folder(),
              UnorderedElementsAre("wheymark.db.damaged-1", "wheymark.db.damaged-1-wal"));
}

TEST_F(ADamagedStore, OfWhichOnlyTheLogIsLeftDoesNotLoseThatToo) {
  write_bytes(file_ + "-wal", "what is left of a log");

  EXPECT_THAT(refused(), HasSubstr("wheymark.db.damaged-1"));

  EXPECT_EQ(text_of_file(file_ + ".damaged-1-wal"), "what is left of a log");
  EXPECT_EQ(content_of(*opened()), Content{});
}

TEST_F(ADamagedStore, BehindALinkIsSetAsideWhereItIs) {
  was_kept();
  std::filesystem::create_directory(folder_ + "/card");
  std::filesystem::rename(file_, folder_ + "/card/real.db");
  std::filesystem::create_symlink(folder_ + "/card/real.db", file_);
  write_bytes(file_, bytes_.substr(0, bytes_.size() - 1'000));

  EXPECT_THAT(refused(), HasSubstr("/card/real.db.damaged-1"));

  EXPECT_EQ(text_of_file(folder_ + "/card/real.db.damaged-1").size(), bytes_.size() - 1'000);
  EXPECT_TRUE(std::filesystem::is_symlink(file_));
}

TEST_F(ADamagedStore, WithARowThatSomebodyChangedIsSetAside) {
  was_kept();
  with_sql("UPDATE journal SET value = 85.0 WHERE seq = 40");

  const std::string why = refused();
  EXPECT_THAT(why, HasSubstr("row 40"));
  EXPECT_THAT(why, HasSubstr("damaged-1"));
}

TEST_F(ADamagedStore, WithMalformedRowsOrMissingTablesIsSetAside) {
  int n = 0;
  for (const char* harm :
       {"PRAGMA ignore_check_constraints = ON; UPDATE journal SET kind = 9 WHERE seq = 3",
        "UPDATE outbox SET qos = 2", "UPDATE retained SET crc = 0", "DROP TABLE outbox",
        "ALTER TABLE journal DROP COLUMN body", "PRAGMA user_version = 0",
        "PRAGMA user_version = -1", "PRAGMA application_id = 0"}) {
    was_kept();
    with_sql(harm);
    SCOPED_TRACE(harm);
    is_set_aside_as("wheymark.db.damaged-" + std::to_string(++n));
  }
}

// The strongest promise: whatever single byte changes, nothing is ever read that was not written.
TEST_F(ADamagedStore, WithOneByteChangedGivesBackWhatWasWrittenOrNothing) {
  was_kept();
  int believed = 0;
  int set_aside = 0;
  int left_in_place = 0;
  constexpr std::array<unsigned char, 3> changes{0x01, 0x80, 0xff};
  // The first 200 bytes one by one; then every 11th, which is prime to any alignment in the file.
  for (std::size_t at = 0; at < bytes_.size(); at += at < 200 ? 1 : 11) {
    std::string harmed = bytes_;
    harmed[at] = static_cast<char>(harmed[at] ^ changes[at % changes.size()]);
    write_bytes(file_, harmed);
    SCOPED_TRACE("byte " + std::to_string(at));

    if (auto store = open_store(file_)) {
      EXPECT_EQ(content_of(*store.value()), kept_);
      ++believed;
    } else if (std::filesystem::exists(file_)) {
      EXPECT_TRUE(text_of_file(file_) == harmed);
      ++left_in_place;
    } else {
      EXPECT_TRUE(text_of_file(file_ + ".damaged-1") == harmed);
      ++set_aside;
    }
    for (const std::string& name : names_in_folder()) {
      std::filesystem::remove(folder_ + "/" + name);
    }
    if (HasFailure()) break;
  }
  // Unused space may change unseen, and a changed version number looks like a newer one.
  EXPECT_GT(believed, 0);
  EXPECT_GT(set_aside, 0);
  EXPECT_LE(left_in_place, 4) << "the four bytes of the version number";
}

}  // namespace
}  // namespace wheymark
