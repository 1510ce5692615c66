// From a name to a store: find out whose file it is, lock it, make it if it is new, and use it only
// after it has been checked from end to end.
//
// The lock is SQLite's own, kept from here until the store is closed (locking_mode=EXCLUSIVE): the
// kernel frees it whatever happens to the process, it keeps out every other program that knows
// SQLite, and WAL then needs no shared memory file. Refused: flock on a file beside it, which stays
// behind and keeps out only ourselves. Downside: nobody can look in with the sqlite3 shell while
// the store is open, and POSIX locks are no better than the file system (a home's NFS may lie).
#include <algorithm>
#include <array>
#include <cstdint>
#include <filesystem>
#include <fmt/format.h>
#include <system_error>
#include <utility>

#include "plugin/store/recognise.hpp"
#include "plugin/store/schema.hpp"
#include "plugin/store/set_aside.hpp"
#include "plugin/store/sqlite_store.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

namespace {

namespace fs = std::filesystem;
using sqlite::Connection;

// The whole file is gone through three times: by SQLite, by `examine`, and by whoever opens it. Its
// small pages are slow to fetch, so what is kept of some years is fetched once; SQLite takes no
// more memory than there is in the file, and read_journal gives it back.
constexpr int pages_kib_while_opening = 16 * 1024;

Refusal cannot_be_opened(const std::string& file, const std::string& why) {
  return Refusal{fmt::format("the store {} cannot be opened: {}", file, why)};
}

Refusal newer(const std::string& file, std::int64_t version) {
  return Refusal{fmt::format(
      "the store {} has version {}, but this program knows versions up to {} only; use a newer "
      "program or another file",
      file, version, schema::version)};
}

Refusal not_ours(const std::string& file, const Recognised& found) {
  return Refusal{
      fmt::format("{} is {} and not a store of ours; it was not touched, name another "
                  "file for the store",
                  file, found.is_database ? "another program's database" : "no database")};
}

Refusal locked(const std::string& file) {
  return Refusal{
      fmt::format("the store {} is open already, here or in another process; one store "
                  "serves one program at a time",
                  file)};
}

// `place` is the file itself, where `file`, as the person calls it, may be a link to it.
Refusal damaged(const std::string& file, const std::string& place, const std::string& how) {
  const Result<std::string> name = set_aside(place);
  if (!name) {
    return Refusal{fmt::format("the store {} is damaged ({}) and cannot be set aside: {}", file,
                               how, name.why())};
  }
  return Refusal{
      fmt::format("the store {} was damaged ({}) and was set aside as {}; opening it "
                  "again starts an empty one",
                  file, how, name.value())};
}

// Whether SQLite's last failure says that the file is damaged, and not the disk, the lock, or us.
bool means_damage(const Connection& connection) {
  switch (connection.code()) {
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
    case SQLITE_ERROR:  // our own tables are missing or different
      return true;
    case SQLITE_READONLY:
      // The file was opened for writing, but its header asks for a format of the future.
      return connection.extended_code() == SQLITE_READONLY;
    default:
      return false;
  }
}

Refusal failed(const Connection& connection, const std::string& file, const std::string& place) {
  if (connection.code() == SQLITE_BUSY) return locked(file);
  if (means_damage(connection)) return damaged(file, place, connection.trouble());
  return cannot_be_opened(file, connection.trouble());
}

// A log without its database: what a lost, emptied or half set aside main file leaves behind.
// SQLite would delete it.
bool has_orphaned_log(const std::string& file) {
  std::error_code ignored;
  const auto log_bytes = fs::file_size(file + "-wal", ignored);
  return !ignored && log_bytes > 0;
}

// Takes the lock, for as long as the connection lives, and makes our tables in an empty file; both
// in one transaction, so that no crash leaves an empty database that nobody knows as ours.
Outcome lock_and_make_tables(Connection& connection, const std::string& file,
                             const std::string& place) {
  if (!connection.run("PRAGMA locking_mode=EXCLUSIVE;"
                      "PRAGMA trusted_schema=OFF;"
                      "PRAGMA ignore_check_constraints=ON;"  // see schema.hpp
                      "PRAGMA page_size=512;"                // of a new file; see schema.hpp
                      // KiB, not 2000: we write at the end and read from end to end.
                      "PRAGMA cache_size=-256;"
                      "PRAGMA cell_size_check=ON")) {
    return failed(connection, file, place);
  }
  sqlite::Transaction transaction(connection);
  if (!transaction.begun()) return failed(connection, file, place);
  const auto anything = connection.number(
      "SELECT (SELECT count(*) FROM sqlite_schema) + (SELECT application_id != 0 FROM "
      "pragma_application_id) + (SELECT user_version != 0 FROM pragma_user_version)");
  if (!anything) return failed(connection, file, place);
  if (*anything == 0) {
    // In the main file and not in the log, so that `recognise` always finds the numbers there.
    const std::string numbers = fmt::format("PRAGMA application_id={}; PRAGMA user_version={}",
                                            schema::application_id, schema::version);
    if (!connection.run(schema::create) || !connection.run(numbers.c_str())) {
      return failed(connection, file, place);
    }
  }
  if (!transaction.commit()) return failed(connection, file, place);
  return Nothing{};
}

// Whether the disk gives every byte of the main file. quick_check reports one that it does not give
// like one that is wrong, but a disk that fails today may work tomorrow.
bool is_readable(const Connection& connection) {
  sqlite3_file* file = connection.file();
  sqlite3_int64 size_bytes = 0;
  if (file == nullptr || file->pMethods->xFileSize(file, &size_bytes) != SQLITE_OK) return false;
  std::array<char, 65'536> bytes{};
  for (sqlite3_int64 at = 0; at < size_bytes; at += bytes.size()) {
    const int code = file->pMethods->xRead(file, bytes.data(), bytes.size(), at);
    if (code != SQLITE_OK && code != SQLITE_IOERR_SHORT_READ) return false;
  }
  return true;
}

// Every commit is on the disk when it returns. The log is moved into the main file at about 4 MB,
// and cut back to that after a long transaction.
[[nodiscard]] bool make_durable(Connection& connection) {
  return connection.text("PRAGMA journal_mode=WAL") == "wal" &&
         connection.run(
             "PRAGMA synchronous=FULL;"
             "PRAGMA wal_autocheckpoint=8000;"  // pages
             "PRAGMA journal_size_limit=4194304;"
             "PRAGMA secure_delete=OFF");  // on in Debian; zeroing what is forgotten wears the card
}

// Between our opening it and our lock, somebody who found it damaged may have set it aside.
bool was_moved(const Connection& connection) {
  int moved = 0;
  sqlite3_file_control(connection.raw(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
  return moved != 0;
}

Result<std::unique_ptr<Store>> open_in_memory() {
  auto opened = Connection::open(":memory:");
  if (!opened) return opened.refusal();
  Connection connection = std::move(opened).value();
  if (Outcome made = lock_and_make_tables(connection, ":memory:", ""); !made) return made.refusal();
  return std::unique_ptr<Store>(SqliteStore::make(std::move(connection), ":memory:"));
}

// Why no store can have this name, whatever is on the disk.
Outcome name_is_possible(const std::string& file) {
  if (file.empty()) return Refusal{"the store has no file name"};
  if (file.find('\0') != std::string::npos) {
    return Refusal{"the store's file name has a NUL byte in it"};
  }
  std::error_code ignored;
  const fs::file_status status = fs::status(file, ignored);
  if (fs::exists(status) && !fs::is_regular_file(status)) {
    return cannot_be_opened(file, "there is something else than a plain file of that name");
  }
  return Nothing{};
}

// From a locked file with something in it to a store.
Result<std::unique_ptr<Store>> open_locked(Connection connection, const std::string& file,
                                           const std::string& place) {
  const auto application_id = connection.number("PRAGMA application_id");
  if (!application_id) return failed(connection, file, place);
  const auto version = connection.number("PRAGMA user_version");
  if (!version) return failed(connection, file, place);
  if (*application_id != schema::application_id) {
    return damaged(file, place, fmt::format("its application id is {}", *application_id));
  }
  if (*version > schema::version) return newer(file, *version);
  if (*version < 1) return damaged(file, place, fmt::format("its version is {}", *version));

  connection.keep_pages(pages_kib_while_opening);
  auto findings = connection.text("PRAGMA quick_check(1)");
  if (!findings) return failed(connection, file, place);
  std::replace(findings->begin(), findings->end(), '\n', ' ');  // a refusal is one sentence
  if (*findings != "ok") {
    return is_readable(connection) ? damaged(file, place, *findings)
                                   : cannot_be_opened(file, "the disk does not give all of it");
  }
  if (!make_durable(connection)) return failed(connection, file, place);

  auto store = SqliteStore::make(std::move(connection), file);
  if (store == nullptr) return damaged(file, place, "its tables are not those of its version");
  if (const Outcome examined = store->examine(); !examined) {
    // SQLite read the row without trouble, and still it is not what was written.
    const bool changed = store->connection().code() == SQLITE_OK;
    if (changed || means_damage(store->connection())) return damaged(file, place, examined.why());
    return examined.refusal();
  }
  store->connection().tidy_on_close(true);
  return std::unique_ptr<Store>(std::move(store));
}

}  // namespace

Result<std::unique_ptr<Store>> open_store(const std::string& file) {
  if (file == ":memory:") return open_in_memory();
  if (Outcome possible = name_is_possible(file); !possible) return possible.refusal();

  // An absolute name, because SQLite interprets names that begin with "file:" or a colon.
  std::error_code error;
  const std::string absolute = fs::absolute(file, error).string();
  if (error) return cannot_be_opened(file, error.message());
  auto opened = Connection::open(absolute);
  if (!opened) return cannot_be_opened(file, opened.why());
  Connection connection = std::move(opened).value();
  const std::string place = sqlite3_db_filename(connection.raw(), "main");  // links resolved
  if (sqlite3_db_readonly(connection.raw(), "main") == 1) {
    return cannot_be_opened(file, "it may be read but not written");
  }

  const Result<Recognised> found = recognise(connection);
  if (!found) return cannot_be_opened(file, found.why());
  switch (found.value().owner) {
    case Recognised::Owner::somebody_else:
      return not_ours(file, found.value());
    case Recognised::Owner::newer_us:
      return newer(file, found.value().version);
    case Recognised::Owner::nobody:
      if (has_orphaned_log(place)) return damaged(file, place, "it is empty, but its log is not");
      break;
    case Recognised::Owner::us:
      break;
  }

  if (Outcome made = lock_and_make_tables(connection, file, place); !made) return made.refusal();
  if (was_moved(connection)) return cannot_be_opened(file, "it was just set aside; open it again");
  return open_locked(std::move(connection), file, place);
}

Result<std::unique_ptr<Store>> open_store_or_new(const std::string& file, std::string& damage) {
  std::error_code ignored;
  const bool was_there = fs::exists(file, ignored);
  auto opened = open_store(file);
  // Only setting it aside takes a file away.
  if (opened || !was_there || fs::exists(file, ignored)) return opened;
  damage = opened.why();
  return open_store(file);
}

}  // namespace wheymark
