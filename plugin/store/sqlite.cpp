#include "plugin/store/sqlite.hpp"

#include <fmt/format.h>
#include <limits>

namespace wheymark::sqlite {

Result<Connection> Connection::open(const std::string& file) {
  sqlite3* database = nullptr;
  // No mutexes: calls on one instance never overlap.
  const int code =
      sqlite3_open_v2(file.c_str(), &database,
                      SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, nullptr);
  Connection connection(database);  // SQLite gives one to close also when opening failed
  if (database == nullptr) return Refusal{"out of memory"};
  sqlite3_extended_result_codes(database, 1);
  if (code != SQLITE_OK) return Refusal{connection.trouble()};
  connection.tidy_on_close(false);
  return connection;
}

bool Connection::run(const char* sql) {
  return sqlite3_exec(raw(), sql, nullptr, nullptr, nullptr) == SQLITE_OK;
}

std::optional<std::int64_t> Connection::number(const char* sql) {
  Statement statement(*this, sql);
  if (!statement.prepared()) return std::nullopt;
  Rows rows(statement);
  if (!rows.next()) return std::nullopt;
  return statement.integer(0);
}

std::optional<std::string> Connection::text(const char* sql) {
  Statement statement(*this, sql);
  if (!statement.prepared()) return std::nullopt;
  Rows rows(statement);
  if (!rows.next()) return std::nullopt;
  return statement.text(0);
}

int Connection::extended_code() const {
  return sqlite3_extended_errcode(raw());
}

std::string Connection::trouble() const {
  return fmt::format("{} (SQLite {})", sqlite3_errmsg(raw()), extended_code());
}

void Connection::keep_pages(int kib) {
  (void)run(fmt::format("PRAGMA cache_size=-{}; PRAGMA shrink_memory", kib).c_str());
}

void Connection::tidy_on_close(bool yes) {
  sqlite3_db_config(raw(), SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, yes ? 0 : 1, nullptr);
}

sqlite3_file* Connection::file() const {
  sqlite3_file* file = nullptr;
  sqlite3_file_control(raw(), "main", SQLITE_FCNTL_FILE_POINTER, static_cast<void*>(&file));
  return file == nullptr || file->pMethods == nullptr ? nullptr : file;
}

Statement::Statement(const Connection& connection, const char* sql) {
  sqlite3_stmt* statement = nullptr;
  sqlite3_prepare_v3(connection.raw(), sql, -1, SQLITE_PREPARE_PERSISTENT, &statement, nullptr);
  statement_.reset(statement);
}

Statement::Step Statement::next() {
  if (bind_failed_) return Step::failed;
  switch (sqlite3_step(statement_.get())) {
    case SQLITE_ROW:
      return Step::row;
    case SQLITE_DONE:
      return Step::done;
    default:
      return Step::failed;
  }
}

void Statement::reset() {
  sqlite3_reset(statement_.get());
  sqlite3_clear_bindings(statement_.get());  // they point into texts that are about to go
  bind_failed_ = false;
}

std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(statement_.get(), column);
}

double Statement::real(int column) const {
  if (sqlite3_column_type(statement_.get(), column) == SQLITE_NULL) {
    return std::numeric_limits<double>::quiet_NaN();
  }
  return sqlite3_column_double(statement_.get(), column);
}

std::string Statement::text(int column) const {
  const auto* bytes = reinterpret_cast<const char*>(sqlite3_column_text(statement_.get(), column));
  if (bytes == nullptr) return {};
  // The length and not the terminator: a text may hold NULs.
  return {bytes, static_cast<std::size_t>(sqlite3_column_bytes(statement_.get(), column))};
}

void Statement::bind(int place, std::int64_t value) {
  note(sqlite3_bind_int64(statement_.get(), place, value));
}

void Statement::bind(int place, double value) {
  note(sqlite3_bind_double(statement_.get(), place, value));
}

void Statement::bind(int place, std::string_view value) {
  // A null pointer would be a NULL, and an empty view may have one.
  const char* bytes = value.data() == nullptr ? "" : value.data();
  note(sqlite3_bind_text64(statement_.get(), place, bytes, value.size(), SQLITE_STATIC,
                           SQLITE_UTF8));
}

Transaction::~Transaction() {
  // A full disk makes SQLite roll back by itself; a second time would be an error.
  if (begun_ && sqlite3_get_autocommit(connection_.raw()) == 0) {
    (void)connection_.run("ROLLBACK");
  }
}

}  // namespace wheymark::sqlite
