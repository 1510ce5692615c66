// Where does a damaged store go? To a name beside it that nobody has, so that a person can rescue
// what is left; a damaged store is never written to, deleted or overwritten.
#pragma once

#include <string>

#include "core/basis/result.hpp"

namespace wheymark {

// Renames `file` to the first free "<file>.damaged-<n>", n = 1, 2, ..., and its -wal, -shm and
// -journal, as far as they exist, to that name with the same ending; returns the new name. Refused
// when a name cannot be given, or when there are a thousand already.
//
// The main file goes first: if the power fails in between, what stays behind is a log without a
// database, which open_store notices, and not a database that has silently lost its log.
Result<std::string> set_aside(const std::string& file);

}  // namespace wheymark
