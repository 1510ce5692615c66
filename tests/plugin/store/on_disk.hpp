// The words of the store's tests: a folder of their own, rows, messages, and files byte by byte.
#pragma once

#include <bit>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <memory>
#include <sqlite3.h>
#include <string>
#include <utility>
#include <vector>

#include "plugin/store/store.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark {

inline Instant at_ms(std::int64_t ms) {
  return Instant(Milliseconds(ms));
}

inline JournalRow reading(std::int64_t ms, const std::string& place, double degrees_c) {
  return {JournalRow::Kind::reading, at_ms(ms), place, degrees_c, ""};
}

inline JournalRow fact(std::int64_t ms, const std::string& json) {
  return {JournalRow::Kind::fact, at_ms(ms), "", 0.0, json};
}

inline OutboxMessage message(const std::string& topic, const std::string& payload) {
  return {0, topic, payload, "application/json", 1};
}

// A row as one line, its number as bits, so that 0.0 is not -0.0 and nothing is rounded.
inline std::string line(const JournalRow& row) {
  return std::to_string(static_cast<int>(row.kind)) + "|" +
         std::to_string(row.at.time_since_epoch().count()) + "|" + row.subject + "|" +
         std::to_string(std::bit_cast<std::uint64_t>(row.value)) + "|" + row.body;
}

// A message of the outbox as one line, without the number that the store has given it.
inline std::string line(const OutboxMessage& message) {
  return message.topic + "|" + message.payload + "|" + message.content_type + "|" +
         std::to_string(message.qos);
}

template <class Thing>
std::vector<std::string> lines(const std::vector<Thing>& things) {
  std::vector<std::string> all;
  for (const Thing& thing : things) all.push_back(line(thing));
  return all;
}

// Everything that can be read from a store.
struct Content {
  std::vector<std::string> journal;
  std::vector<std::string> outbox;
  std::vector<std::string> retained;
  friend bool operator==(const Content&, const Content&) = default;
};

inline std::vector<JournalRow> journal_of(Store& store) {
  std::vector<JournalRow> rows;
  const Outcome read = store.read_journal([&](const JournalRow& row) {
    rows.push_back(row);
    return Outcome(Nothing{});
  });
  EXPECT_TRUE(read.ok()) << (read.ok() ? "" : read.why());
  return rows;
}

inline Content content_of(Store& store) {
  Content content;
  content.journal = lines(journal_of(store));
  const auto messages = store.outbox();
  EXPECT_TRUE(messages.ok());
  if (messages) content.outbox = lines(messages.value());
  const auto topics = store.retained_topics();
  EXPECT_TRUE(topics.ok());
  if (topics) content.retained = topics.value();
  return content;
}

inline Outcome commit_now(Store& store, std::vector<JournalRow> rows,
                          std::vector<OutboxMessage> messages = {}) {
  return store.commit(std::move(rows), messages, Durable::at_once);
}

inline Outcome commit_soon(Store& store, std::vector<JournalRow> rows) {
  std::vector<OutboxMessage> none;
  return store.commit(std::move(rows), none, Durable::soon);
}

using test::text_of_file;

inline void write_bytes(const std::string& file, const std::string& bytes) {
  std::ofstream(file, std::ios::binary | std::ios::trunc) << bytes;
}

class OnDisk : public testing::Test {
 protected:
  // Opens the file, which must go well.
  [[nodiscard]] std::unique_ptr<Store> opened() const {
    auto store = open_store(file_);
    EXPECT_TRUE(store.ok()) << (store.ok() ? "" : store.why());
    return store ? std::move(store).value() : nullptr;
  }

  // Opens the file, which must be refused; why.
  [[nodiscard]] std::string refused() const {
    const auto store = open_store(file_);
    EXPECT_FALSE(store.ok());
    return store.ok() ? "" : store.why();
  }

  // As the sqlite3 shell would.
  void with_sql(const std::string& sql) const {
    sqlite3* database = nullptr;
    ASSERT_EQ(sqlite3_open(file_.c_str(), &database), SQLITE_OK);
    char* why = nullptr;
    EXPECT_EQ(sqlite3_exec(database, sql.c_str(), nullptr, nullptr, &why), SQLITE_OK) << why;
    sqlite3_close(database);
  }

  [[nodiscard]] std::vector<std::string> names_in_folder() const {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder_)) {
      names.push_back(entry.path().filename().string());
    }
    return names;
  }

  const test::TemporaryFolder temporary_;
  const std::string folder_ = temporary_.path();
  std::string file_ = folder_ + "/wheymark.db";
};

}  // namespace wheymark
