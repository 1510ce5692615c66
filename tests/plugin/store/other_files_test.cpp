// A file that is not ours, is too new for us, or is in use is refused with a sentence and stays as
// it is, to the byte.
#include <csignal>
#include <filesystem>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <string>
#include <sys/wait.h>
#include <unistd.h>

#include "tests/plugin/store/on_disk.hpp"

namespace wheymark {
namespace {

using testing::AllOf;
using testing::HasSubstr;

class AnotherFile : public OnDisk {
 protected:
  void stays_as_it_is_when_refused_with(const testing::Matcher<std::string>& sentence) {
    const auto names = names_in_folder();
    const std::string before = text_of_file(file_);
    const std::string log_before = text_of_file(file_ + "-wal");

    EXPECT_THAT(refused(), sentence);

    EXPECT_TRUE(text_of_file(file_) == before);
    EXPECT_TRUE(text_of_file(file_ + "-wal") == log_before);
    EXPECT_THAT(names_in_folder(), testing::UnorderedElementsAreArray(names));
  }

  // Leaves a database as a crash does: with the last transactions in its log alone.
  void crashes_after(const std::string& sql) {
    const pid_t child = fork();
    ASSERT_GE(child, 0);
    if (child == 0) {
      sqlite3* database = nullptr;
      const bool done = sqlite3_open(file_.c_str(), &database) == SQLITE_OK &&
                        sqlite3_exec(database, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK;
      _exit(done ? 0 : 1);
    }
    int status = 0;
    ASSERT_EQ(waitpid(child, &status, 0), child);
    ASSERT_EQ(status, 0);
  }
};

TEST_F(AnotherFile, OfANewerVersionIsRefused) {
  ASSERT_TRUE(commit_now(*opened(), {fact(1, "{}")}));
  with_sql("PRAGMA user_version = 7");

  stays_as_it_is_when_refused_with(AllOf(HasSubstr(file_), HasSubstr("version 7")));
}

TEST_F(AnotherFile, OfANewerVersionThatStandsInTheLogAloneIsRefused) {
  ASSERT_TRUE(commit_now(*opened(), {fact(1, "{}")}));
  crashes_after("PRAGMA user_version = 2");
  ASSERT_GT(text_of_file(file_ + "-wal").size(), 0U);

  stays_as_it_is_when_refused_with(AllOf(HasSubstr(file_), HasSubstr("version 2")));
}

TEST_F(AnotherFile, ThatIsTextIsRefused) {
  write_bytes(file_, "Grandmother's kefir: two spoons of grains, half a litre of milk.\n");

  stays_as_it_is_when_refused_with(AllOf(HasSubstr(file_), HasSubstr("no database")));
}

TEST_F(AnotherFile, ThatIsOneByteLongIsRefused) {
  write_bytes(file_, "S");

  stays_as_it_is_when_refused_with(HasSubstr("no database"));
}

TEST_F(AnotherFile, ThatIsAnotherProgramsDatabaseIsRefused) {
  with_sql("CREATE TABLE recipes(name TEXT); INSERT INTO recipes VALUES('kefir')");

  stays_as_it_is_when_refused_with(HasSubstr("another program's database"));
}

TEST_F(AnotherFile, ThatIsAnotherProgramsDatabaseAfterACrashIsRefusedAndItsLogIsLeftAlone) {
  crashes_after("PRAGMA journal_mode = WAL; CREATE TABLE recipes(name TEXT)");
  ASSERT_GT(text_of_file(file_ + "-wal").size(), 0U);

  stays_as_it_is_when_refused_with(HasSubstr("another program's database"));
}

TEST_F(AnotherFile, ThatIsNoPlainFileIsRefused) {
  std::filesystem::create_directory(file_);
  EXPECT_THAT(refused(), HasSubstr("plain file"));
  file_ = "/dev/null";
  EXPECT_THAT(refused(), HasSubstr("plain file"));
}

TEST_F(AnotherFile, InAFolderThatIsNotThereIsRefused) {
  file_ = folder_ + "/nowhere/wheymark.db";
  EXPECT_THAT(refused(), HasSubstr(file_));
}

TEST_F(AnotherFile, WithoutANameIsRefused) {
  file_ = "";
  EXPECT_THAT(refused(), HasSubstr("no file name"));
  file_ = std::string("a\0b", 3);
  EXPECT_THAT(refused(), HasSubstr("NUL"));
}

TEST_F(AnotherFile, ThatIsEmptyBecomesAStore) {
  write_bytes(file_, "");
  ASSERT_TRUE(commit_now(*opened(), {fact(1, "{}")}));

  EXPECT_EQ(journal_of(*opened()).size(), 1U);
}

TEST_F(AnotherFile, WhoseNameMeansMoreToSqliteIsTakenByItsName) {
  const auto before = std::filesystem::current_path();
  std::filesystem::current_path(folder_);
  for (const char* name : {"file:odd?mode=memory", ":odd:"}) {
    file_ = name;
    EXPECT_TRUE(commit_now(*opened(), {fact(1, "{}")})) << name;
    EXPECT_TRUE(std::filesystem::exists(folder_ + "/" + name)) << name;
    EXPECT_EQ(journal_of(*opened()).size(), 1U) << name;
  }
  std::filesystem::current_path(before);
}

class AStoreInUse : public OnDisk {};

TEST_F(AStoreInUse, IsRefusedToASecondInTheSameProcessAndGoesOnWorking) {
  auto first = opened();
  ASSERT_TRUE(commit_now(*first, {fact(1, "{}")}));

  EXPECT_THAT(refused(), HasSubstr("open already"));

  EXPECT_TRUE(commit_now(*first, {fact(2, "{}")}));
  EXPECT_THAT(refused(), HasSubstr("open already")) << "the first refusal cost the lock";
  first.reset();
  EXPECT_EQ(journal_of(*opened()).size(), 2U);
}

TEST_F(AStoreInUse, IsRefusedUnderAnotherNameOfTheSameFile) {
  auto first = opened();
  std::filesystem::create_symlink(file_, folder_ + "/link.db");

  file_ = folder_ + "/link.db";
  EXPECT_THAT(refused(), HasSubstr("open already"));
}

// Another process that keeps the store open until it is killed.
class AStoreOfAnotherProcess : public OnDisk {
 protected:
  AStoreOfAnotherProcess() {
    int ready[2];
    EXPECT_EQ(pipe(ready), 0);
    owner_ = fork();
    if (owner_ == 0) {
      const auto store = open_store(file_);
      const char said = store.ok() && commit_now(*store.value(), {fact(1, "{}")}) ? 'y' : 'n';
      if (write(ready[1], &said, 1) != 1) _exit(1);
      pause();
      _exit(0);
    }
    char said = 0;
    EXPECT_EQ(read(ready[0], &said, 1), 1);
    EXPECT_EQ(said, 'y');
    close(ready[0]);
    close(ready[1]);
  }
  ~AStoreOfAnotherProcess() override { kill_owner(); }

  void kill_owner() {
    if (owner_ <= 0) return;
    kill(owner_, SIGKILL);
    waitpid(owner_, nullptr, 0);
    owner_ = 0;
  }

  pid_t owner_ = 0;
};

TEST_F(AStoreOfAnotherProcess, IsRefusedUntilThatIsKilled) {
  EXPECT_THAT(refused(), HasSubstr("open already"));

  kill_owner();
  EXPECT_EQ(journal_of(*opened()).size(), 1U);
}

TEST_F(AStoreOfAnotherProcess, IsNotSetAsideUnderItsOwnerEvenWhenItIsDamaged) {
  {
    std::fstream file(file_, std::ios::in | std::ios::out | std::ios::binary);
    file << "no longer SQLite";
  }
  EXPECT_THAT(refused(), HasSubstr("open already"));
  EXPECT_TRUE(std::filesystem::exists(file_));
}

TEST_F(AStoreInUse, IsClosedToOtherProgramsThatKnowSqlite) {
  auto store = opened();

  sqlite3* database = nullptr;
  ASSERT_EQ(sqlite3_open(file_.c_str(), &database), SQLITE_OK);
  EXPECT_EQ(sqlite3_exec(database, "SELECT count(*) FROM journal", nullptr, nullptr, nullptr),
            SQLITE_BUSY);
  sqlite3_close(database);
}

}  // namespace
}  // namespace wheymark
