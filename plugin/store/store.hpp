// The interface to what is kept: a journal of entries in order, and an outbox of messages on their
// way.
//
// A commit is one transaction: either all of its entries and messages are durable, or none. What a
// person reported and every outgoing event are committed with `Durable::at_once` before anyone is
// told; readings may be committed `Durable::soon`, which a power cut may cost the last minute of.
//
// A full or broken disk refuses, and loses nothing that was accepted before; the next call simply
// tries again. One thread at a time.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "core/basis/result.hpp"
#include "core/basis/units.hpp"

namespace wheymark {

// One row of the journal. `body` is JSON, empty for a reading, which is `subject` and `value`.
// Texts come back to the byte and numbers to the bit, except that every NaN is the same NaN.
struct JournalRow {
  enum class Kind : std::uint8_t { reading = 1, doubt = 2, fact = 3, announced = 4 };
  Kind kind;
  Instant at;
  std::string subject;  // the place of a reading; else empty
  double value = 0.0;   // degrees Celsius of a reading; else 0
  std::string body;
};

// A message that must reach the broker at least once. `delivery` is given by the store and never
// used again in this store's life, also after the message has left.
struct OutboxMessage {
  std::uint64_t delivery = 0;
  std::string topic;
  std::string payload;
  std::string content_type;
  std::uint8_t qos = 1;
};

enum class Durable { at_once, soon };

class Store {
 public:
  virtual ~Store() = default;

  // Every row ever accepted, in order, also those that are still to be written. Stops with the
  // first refusal of `row`, which must not call this store. Refused when a row cannot be read.
  virtual Outcome read_journal(const std::function<Outcome(const JournalRow&)>& row) = 0;

  // Appends rows and messages in one transaction; sets each message's `delivery`. Rows that were
  // given with Durable::soon are written with the next commit at the latest and stay before it;
  // they are written at once when there are messages or too many rows wait. Refused means that
  // nothing of this call is kept and no `delivery` is set; rows that wait go on waiting.
  //
  // After a refusal by a failing disk a power cut may bring the refused commit back, whole: the
  // disk did not say whether it had it.
  virtual Outcome commit(std::vector<JournalRow> rows, std::vector<OutboxMessage>& messages,
                         Durable durable) = 0;

  // Makes everything durable that was given so far. Destroying the store tries this too, but
  // cannot tell you when it failed.
  virtual Outcome flush() = 0;

  // Forgets the readings of before `before` for which `keeps`, asked in their order, says no.
  // Durable at once; refused, nothing is forgotten.
  virtual Outcome thin(Instant before, const std::function<bool(const JournalRow&)>& keeps) = 0;

  // Undelivered messages, oldest first.
  [[nodiscard]] virtual Result<std::vector<OutboxMessage>> outbox() = 0;
  // Forgets a message; an unknown number is no error. Becomes durable with the next commit or
  // flush: a message can then be delivered twice, never lost.
  virtual Outcome delivered(std::uint64_t delivery) = 0;

  // Retained topics that we have published and that somebody must clear one day, sorted by byte.
  [[nodiscard]] virtual Result<std::vector<std::string>> retained_topics() = 0;
  // Durable at once. A topic in both lists is remembered.
  virtual Outcome remember_retained(const std::vector<std::string>& added,
                                    const std::vector<std::string>& cleared) = 0;

  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

 protected:
  Store() = default;
};

// Opens or makes a store. ":memory:" keeps nothing. Refused with one sentence when the file belongs
// to a newer version or is not ours (neither is changed), is damaged (it is set aside under another
// name, never overwritten, and the sentence says where; opening again then starts empty), is open
// already in this process or another, or cannot be read or written.
Result<std::unique_ptr<Store>> open_store(const std::string& file);

// The same, but where a damaged file was set aside an empty store takes its place at once; `damage`
// then has the sentence with what was found and where it is now.
Result<std::unique_ptr<Store>> open_store_or_new(const std::string& file, std::string& damage);

}  // namespace wheymark
