// Whose file is this? Asked before SQLite reads it, because merely opening another program's
// database can change it (SQLite finishes what a crash left undone).
//
// Reads the first page only. Whether a file of ours is whole is checked later.
#pragma once

#include <cstdint>

#include "plugin/store/sqlite.hpp"

namespace wheymark {

struct Recognised {
  enum class Owner : std::uint8_t { nobody, us, newer_us, somebody_else };
  Owner owner;               // nobody: the file is empty
  std::int32_t version = 0;  // what stands in the version's place
  bool is_database = false;  // begins as every SQLite file does
};

// Refused when the file cannot be read. A store whose first page is damaged is still ours when
// our number or the text of our first table is left in it.
Result<Recognised> recognise(const sqlite::Connection& connection);

}  // namespace wheymark
