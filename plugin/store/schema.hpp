// What does a store's file look like inside?
//
// One SQLite database in WAL mode with three tables. A reading costs 37 to 48 bytes of the file
// with places named in 2 to 12 letters, 43 with "kitchen" and the like (200,000 rows, SQLite 3.40).
// Every row carries a CRC-32 of its content, because SQLite checks the structure of its pages but
// not what stands in them, and a flipped bit must not become a temperature that nobody measured.
//
// Pages are small, because a minute of readings fits into one and a whole page is written for it:
// five thermometers cost 2.4 MB a day (a year of tests/faults/soak_test.cpp).
//
// Downsides: a place's name is written out with every reading (numbers for names would save 8 of
// those 43 bytes and cost a join by whoever looks in with the sqlite3 shell). The file never
// shrinks: with auto_vacuum every forgotten message would move pages about, which wears SD cards,
// and freed pages are used again anyway. The checksum sees a changed row, not a missing one.
#pragma once

#include <cstdint>

namespace wheymark::schema {

// "Whey", at byte 68 of the file, so that nobody's other database is taken for a store.
inline constexpr std::int32_t application_id = 0x57686579;

// In PRAGMA user_version. Add a step to a migration, never change what a number once meant.
inline constexpr std::int32_t version = 1;

// How our first page can still be told when the number above is damaged: SQLite keeps the text of
// a CREATE TABLE there.
inline constexpr const char* first_words = "CREATE TABLE journal(seq INTEGER PRIMARY KEY";

// `value` is NULL for NaN, and not of type REAL because SQLite would then make an integer of every
// whole number and forget that -0.0 is not 0.0; a replay must see the same bits.
// STRICT makes PRAGMA quick_check find malformed rows, too. CHECK is for other programs that write:
// our own rows are checked before, and by their checksum after.
inline constexpr const char* create = R"sql(
CREATE TABLE journal(seq INTEGER PRIMARY KEY,
  at INTEGER NOT NULL,                              -- UTC, ms since 1970
  kind INTEGER NOT NULL CHECK(kind BETWEEN 1 AND 4),  -- reading, doubt, fact, announced
  subject TEXT NOT NULL,
  value ANY CHECK(typeof(value) IN ('real', 'null')),  -- degrees Celsius
  body TEXT NOT NULL,                               -- JSON
  crc INTEGER NOT NULL
) STRICT;
CREATE TABLE outbox(delivery INTEGER PRIMARY KEY AUTOINCREMENT,  -- a number is never used again
  topic TEXT NOT NULL,
  payload TEXT NOT NULL,
  content_type TEXT NOT NULL,
  qos INTEGER NOT NULL CHECK(qos BETWEEN 0 AND 2),
  crc INTEGER NOT NULL
) STRICT;
CREATE TABLE retained(topic TEXT PRIMARY KEY NOT NULL,
  crc INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
)sql";

}  // namespace wheymark::schema
