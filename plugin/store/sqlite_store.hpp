// The store on SQLite: what is written when, and what waits in memory.
//
// Every transaction is durable when it returns (WAL with synchronous=FULL); to spare the SD card,
// readings and the forgetting of delivered messages wait here for the next one. Nothing leaves this
// queue before SQLite reports that it is on the disk. How a file gets here is in open_store.cpp.
#pragma once

#include <memory>
#include <set>
#include <string>
#include <vector>

#include "plugin/store/sqlite.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

class SqliteStore final : public Store {
 public:
  // Takes a connection to a file that has our tables; null when it has not.
  static std::unique_ptr<SqliteStore> make(sqlite::Connection connection, std::string file);
  ~SqliteStore() override;
  SqliteStore(const SqliteStore&) = delete;
  SqliteStore& operator=(const SqliteStore&) = delete;

  // To ask what went wrong in the last call.
  [[nodiscard]] sqlite::Connection& connection() { return connection_; }

  // Whether every row of the journal, the outbox and the topics is what was written there. The
  // reading of the journal that follows does not ask again.
  Outcome examine();

  Outcome read_journal(const std::function<Outcome(const JournalRow&)>& row) override;
  Outcome commit(std::vector<JournalRow> rows, std::vector<OutboxMessage>& messages,
                 Durable durable) override;
  Outcome flush() override;
  Outcome thin(Instant before, const std::function<bool(const JournalRow&)>& keeps) override;
  Result<std::vector<OutboxMessage>> outbox() override;
  Outcome delivered(std::uint64_t delivery) override;
  Result<std::vector<std::string>> retained_topics() override;
  Outcome remember_retained(const std::vector<std::string>& added,
                            const std::vector<std::string>& cleared) override;

 private:
  SqliteStore(sqlite::Connection connection, std::string file);

  // The journal as far as it is in the file.
  Outcome read_written(const std::function<Outcome(const JournalRow&)>& row);
  // Everything that waits, then these, in one transaction.
  Outcome write(const std::vector<JournalRow>& rows, std::vector<OutboxMessage>& messages);
  [[nodiscard]] bool append(const JournalRow& row);
  [[nodiscard]] Refusal not_written() const;
  [[nodiscard]] Refusal not_read() const;

  sqlite::Connection connection_;  // first, so that it is closed after its statements are gone
  std::string file_;
  sqlite::Statement append_row_;
  sqlite::Statement append_message_;
  sqlite::Statement forget_message_;
  sqlite::Statement read_rows_;
  sqlite::Statement forget_row_;
  sqlite::Statement read_messages_;
  sqlite::Statement remember_topic_;
  sqlite::Statement forget_topic_;
  sqlite::Statement read_topics_;

  bool examined_just_now_ = false;
  std::vector<JournalRow> waiting_;  // given with Durable::soon
  std::set<std::uint64_t> left_;     // delivered, and not yet forgotten on the disk
};

}  // namespace wheymark
