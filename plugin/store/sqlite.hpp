// SQLite's C interface with owners: a connection, a statement and a transaction that clean up.
//
// As thin as it can be. Calls say only whether they went well; the connection knows what went wrong
// last (`code`, `trouble`), because the caller alone can say whether that is a full disk, a damaged
// file or a locked one. One thread at a time.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <sqlite3.h>
#include <string>
#include <string_view>

#include "core/basis/result.hpp"

namespace wheymark::sqlite {

class Connection {
 public:
  // Opens for reading and writing and makes an empty file where there is none. Nothing is read
  // yet, so a file that is no database opens, too.
  [[nodiscard]] static Result<Connection> open(const std::string& file);

  // Runs SQL without parameters; rows are dropped.
  [[nodiscard]] bool run(const char* sql);
  // The first column of the first row; nothing when that fails or there is no row.
  [[nodiscard]] std::optional<std::int64_t> number(const char* sql);
  [[nodiscard]] std::optional<std::string> text(const char* sql);

  // What went wrong last: SQLite's extended code, its primary code, and a sentence's end such as
  // "database or disk is full (SQLite 13)".
  [[nodiscard]] int extended_code() const;
  [[nodiscard]] int code() const { return extended_code() & 0xff; }
  [[nodiscard]] std::string trouble() const;

  // How much of the file is kept in memory at most, KiB; what was kept so far is freed.
  void keep_pages(int kib);

  // Whether closing may move the log into the main file and delete it. Off after opening, so that
  // a file that we refuse stays as it was found.
  void tidy_on_close(bool yes);

  // The open main file, below everything that SQLite knows; null when there is none. For looking at
  // its bytes: opening the file a second time and closing that would drop all locks that this
  // process holds on it, also another store's (POSIX advisory locks).
  [[nodiscard]] sqlite3_file* file() const;

  [[nodiscard]] sqlite3* raw() const { return database_.get(); }

 private:
  struct Close {
    void operator()(sqlite3* database) const { sqlite3_close_v2(database); }
  };
  explicit Connection(sqlite3* database) : database_(database) {}
  std::unique_ptr<sqlite3, Close> database_;
};

class Rows;

// A prepared statement, kept and run many times. Parameters are given in the order of their
// question marks; texts must live until the statement is done.
class Statement {
 public:
  Statement(const Connection& connection, const char* sql);

  // False when the SQL did not compile, for example because a table is missing.
  [[nodiscard]] bool prepared() const { return statement_ != nullptr; }

  // Runs to the end; for statements without rows.
  template <class... Values>
  [[nodiscard]] bool run(const Values&... values) {
    int place = 0;
    (bind(++place, values), ...);
    const Step step = next();
    reset();
    return step == Step::done;
  }

  // Columns of the current row, counted from 0. A NULL is an empty text, 0 or NaN.
  [[nodiscard]] std::int64_t integer(int column) const;
  [[nodiscard]] double real(int column) const;
  [[nodiscard]] std::string text(int column) const;

 private:
  friend class Rows;
  enum class Step { row, done, failed };
  [[nodiscard]] Step next();
  void reset();
  void bind(int place, std::int64_t value);
  void bind(int place, double value);  // a NaN becomes NULL, as always in SQLite
  void bind(int place, std::string_view value);
  void note(int code) { bind_failed_ = bind_failed_ || code != SQLITE_OK; }

  struct Finalize {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  std::unique_ptr<sqlite3_stmt, Finalize> statement_;
  bool bind_failed_ = false;
};

// One walk through the rows of a statement without parameters; over when this goes. The current
// row's columns are read from the statement.
class Rows {
 public:
  explicit Rows(Statement& statement) : statement_(statement) {}
  ~Rows() { statement_.reset(); }
  Rows(const Rows&) = delete;
  Rows& operator=(const Rows&) = delete;

  // False behind the last row, and where reading failed.
  [[nodiscard]] bool next() { return (step_ = statement_.next()) == Statement::Step::row; }
  [[nodiscard]] bool failed() const { return step_ == Statement::Step::failed; }

 private:
  Statement& statement_;
  Statement::Step step_ = Statement::Step::done;
};

// Either committed, or as if it had never been.
class Transaction {
 public:
  explicit Transaction(Connection& connection)
      : connection_(connection), begun_(connection.run("BEGIN IMMEDIATE")) {}
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;

  [[nodiscard]] bool begun() const { return begun_; }
  [[nodiscard]] bool commit() { return connection_.run("COMMIT"); }

 private:
  Connection& connection_;
  bool begun_;
};

}  // namespace wheymark::sqlite
