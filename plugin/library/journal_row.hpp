// The journal's entries as rows of the store, and back.
//
// A reading is two columns, because there are many; everything else is JSON with the fields that a
// person would say. A row that cannot be read back is refused: the journal is never half believed.
#pragma once

#include "core/basis/result.hpp"
#include "core/record/entry.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

JournalRow row_of(const Entry& entry);
Result<Entry> entry_of(const JournalRow& row);

}  // namespace wheymark
