#include "plugin/store/sqlite_store.hpp"

#include <fmt/format.h>
#include <utility>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "plugin/store/checksum.hpp"

namespace wheymark {

using sqlite::Rows;
using sqlite::Statement;
using sqlite::Transaction;

namespace {

// SQLite's own default. All the work is at the journal's end, once it has been read.
constexpr int pages_kib = 2'000;

bool kind_is_known(std::int64_t kind) {
  return kind >= 1 && kind <= 4;
}

Refusal changed_row(const std::string& file, const char* table, const std::string& which) {
  return Refusal{
      fmt::format("row {} of the {} in {} is not what was written there", which, table, file)};
}

}  // namespace

std::unique_ptr<SqliteStore> SqliteStore::make(sqlite::Connection connection, std::string file) {
  std::unique_ptr<SqliteStore> store(new SqliteStore(std::move(connection), std::move(file)));
  for (const Statement* statement :
       {&store->append_row_, &store->append_message_, &store->forget_message_, &store->read_rows_,
        &store->forget_row_, &store->read_messages_, &store->remember_topic_, &store->forget_topic_,
        &store->read_topics_}) {
    if (!statement->prepared()) return nullptr;
  }
  return store;
}

SqliteStore::SqliteStore(sqlite::Connection connection, std::string file)
    : connection_(std::move(connection)),
      file_(std::move(file)),
      append_row_(connection_,
                  "INSERT INTO journal(at, kind, subject, value, body, crc) VALUES(?,?,?,?,?,?)"),
      append_message_(
          connection_,
          "INSERT INTO outbox(topic, payload, content_type, qos, crc) VALUES(?,?,?,?,?)"),
      forget_message_(connection_, "DELETE FROM outbox WHERE delivery = ?"),
      read_rows_(connection_,
                 "SELECT seq, at, kind, subject, value, body, crc FROM journal ORDER BY seq"),
      forget_row_(connection_, "DELETE FROM journal WHERE seq = ?"),
      read_messages_(connection_,
                     "SELECT delivery, topic, payload, content_type, qos, crc FROM outbox "
                     "ORDER BY delivery"),
      remember_topic_(connection_, "INSERT OR IGNORE INTO retained(topic, crc) VALUES(?,?)"),
      forget_topic_(connection_, "DELETE FROM retained WHERE topic = ?"),
      read_topics_(connection_, "SELECT topic, crc FROM retained ORDER BY topic") {}

SqliteStore::~SqliteStore() {
  try {
    (void)flush();
  } catch (...) {  // NOLINT(bugprone-empty-catch): nobody is left to be told
  }
}

Outcome SqliteStore::examine() {
  if (Outcome journal = read_written([](const JournalRow&) { return Outcome(Nothing{}); });
      !journal) {
    return journal;
  }
  if (const auto messages = outbox(); !messages) return messages.refusal();
  if (const auto topics = retained_topics(); !topics) return topics.refusal();
  examined_just_now_ = true;
  return Nothing{};
}

Outcome SqliteStore::read_written(const std::function<Outcome(const JournalRow&)>& row) {
  JournalRow next{};
  Rows rows(read_rows_);
  while (rows.next()) {
    const std::int64_t kind = read_rows_.integer(2);
    next.at = Instant(Milliseconds(read_rows_.integer(1)));
    next.kind = static_cast<JournalRow::Kind>(kind);
    next.subject = read_rows_.text(3);
    next.value = read_rows_.real(4);
    next.body = read_rows_.text(5);
    const bool is_whole = examined_just_now_ || checksum_of(next) == read_rows_.integer(6);
    if (!kind_is_known(kind) || !is_whole) {
      return changed_row(file_, "journal", std::to_string(read_rows_.integer(0)));
    }
    if (Outcome taken = row(next); !taken) return taken;
  }
  if (rows.failed()) return not_read();
  return Nothing{};
}

Outcome SqliteStore::read_journal(const std::function<Outcome(const JournalRow&)>& row) {
  Outcome written = read_written(row);
  examined_just_now_ = false;
  connection_.keep_pages(pages_kib);
  if (!written) return written;
  for (const JournalRow& waiting : waiting_) {
    if (Outcome taken = row(waiting); !taken) return taken;
  }
  return Nothing{};
}

Outcome SqliteStore::commit(std::vector<JournalRow> rows, std::vector<OutboxMessage>& messages,
                            Durable durable) {
  for (const JournalRow& row : rows) {
    check(kind_is_known(static_cast<std::int64_t>(row.kind)), "a journal row has a known kind");
  }
  for (const OutboxMessage& message : messages)
    check(message.qos <= 2, "a parcel has QoS 0, 1 or 2");

  const bool room = waiting_.size() + rows.size() <= limits::journal_rows_waiting_max;
  if (durable == Durable::soon && messages.empty() && room) {
    waiting_.insert(waiting_.end(), std::make_move_iterator(rows.begin()),
                    std::make_move_iterator(rows.end()));
    return Nothing{};
  }
  return write(rows, messages);
}

Outcome SqliteStore::flush() {
  if (waiting_.empty() && left_.empty()) return Nothing{};
  std::vector<OutboxMessage> none;
  return write({}, none);
}

Outcome SqliteStore::thin(Instant before, const std::function<bool(const JournalRow&)>& keeps) {
  std::vector<std::int64_t> forgotten;
  JournalRow next{};
  next.kind = JournalRow::Kind::reading;
  {
    Rows rows(read_rows_);
    while (rows.next()) {
      next.at = Instant(Milliseconds(read_rows_.integer(1)));
      if (read_rows_.integer(2) != static_cast<std::int64_t>(next.kind) || next.at >= before) {
        continue;
      }
      next.subject = read_rows_.text(3);
      next.value = read_rows_.real(4);
      if (!keeps(next)) forgotten.push_back(read_rows_.integer(0));
    }
    if (rows.failed()) return not_read();
  }
  if (forgotten.empty()) return Nothing{};
  Transaction transaction(connection_);
  if (!transaction.begun()) return not_written();
  for (const std::int64_t seq : forgotten) {
    if (!forget_row_.run(seq)) return not_written();
  }
  if (!transaction.commit()) return not_written();
  return Nothing{};
}

Outcome SqliteStore::write(const std::vector<JournalRow>& rows,
                           std::vector<OutboxMessage>& messages) {
  Transaction transaction(connection_);
  if (!transaction.begun()) return not_written();
  for (const JournalRow& row : waiting_) {
    if (!append(row)) return not_written();
  }
  for (const JournalRow& row : rows) {
    if (!append(row)) return not_written();
  }
  std::vector<std::uint64_t> deliveries;
  for (const OutboxMessage& message : messages) {
    if (!append_message_.run(message.topic, message.payload, message.content_type,
                             std::int64_t{message.qos}, checksum_of(message))) {
      return not_written();
    }
    deliveries.push_back(static_cast<std::uint64_t>(sqlite3_last_insert_rowid(connection_.raw())));
  }
  for (const std::uint64_t delivery : left_) {
    if (!forget_message_.run(static_cast<std::int64_t>(delivery))) return not_written();
  }
  if (!transaction.commit()) return not_written();

  for (std::size_t i = 0; i < messages.size(); ++i) messages[i].delivery = deliveries[i];
  waiting_.clear();
  left_.clear();
  return Nothing{};
}

bool SqliteStore::append(const JournalRow& row) {
  return append_row_.run(std::int64_t{row.at.time_since_epoch().count()},
                         static_cast<std::int64_t>(row.kind), row.subject, row.value, row.body,
                         checksum_of(row));
}

Result<std::vector<OutboxMessage>> SqliteStore::outbox() {
  std::vector<OutboxMessage> messages;
  Rows rows(read_messages_);
  while (rows.next()) {
    OutboxMessage message;
    message.delivery = static_cast<std::uint64_t>(read_messages_.integer(0));
    message.topic = read_messages_.text(1);
    message.payload = read_messages_.text(2);
    message.content_type = read_messages_.text(3);
    message.qos = static_cast<std::uint8_t>(read_messages_.integer(4));
    if (checksum_of(message) != read_messages_.integer(5)) {
      return changed_row(file_, "outbox", std::to_string(message.delivery));
    }
    if (!left_.contains(message.delivery)) messages.push_back(std::move(message));
  }
  if (rows.failed()) return not_read();
  return messages;
}

Outcome SqliteStore::delivered(std::uint64_t delivery) {
  left_.insert(delivery);
  if (left_.size() <= limits::deliveries_waiting_max) return Nothing{};
  Outcome written = flush();
  if (!written) left_.erase(delivery);  // the limit holds; this message will be sent once more
  return written;
}

Result<std::vector<std::string>> SqliteStore::retained_topics() {
  std::vector<std::string> topics;
  Rows rows(read_topics_);
  while (rows.next()) {
    topics.push_back(read_topics_.text(0));
    if (checksum_of(topics.back()) != read_topics_.integer(1)) {
      return changed_row(file_, "retained topics", std::to_string(topics.size()));
    }
  }
  if (rows.failed()) return not_read();
  return topics;
}

Outcome SqliteStore::remember_retained(const std::vector<std::string>& added,
                                       const std::vector<std::string>& cleared) {
  if (added.empty() && cleared.empty()) return Nothing{};
  Transaction transaction(connection_);
  if (!transaction.begun()) return not_written();
  for (const std::string& topic : cleared) {
    if (!forget_topic_.run(topic)) return not_written();
  }
  for (const std::string& topic : added) {
    if (!remember_topic_.run(topic, checksum_of(topic))) return not_written();
  }
  if (!transaction.commit()) return not_written();
  return Nothing{};
}

Refusal SqliteStore::not_written() const {
  return Refusal{
      fmt::format("nothing was written to the store {}: {}", file_, connection_.trouble())};
}

Refusal SqliteStore::not_read() const {
  return Refusal{fmt::format("the store {} cannot be read: {}", file_, connection_.trouble())};
}

}  // namespace wheymark
