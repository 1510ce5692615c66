// The documents that can be exported, by name.
#pragma once

#include <string>
#include <string_view>

#include "core/basis/result.hpp"
#include "core/household/household.hpp"
#include "plugin/history/records.hpp"

namespace wheymark {

// "batches.csv", "batches.json", likewise bottles, cultures and readings; "all.json" with those
// four; "curves.csv", which names nobody and is not in "all.json"; "inventory.txt" and
// "inventory.json"; "month.txt" and "month.svg", of another month with "month.txt 2027-03".
// Refused: another name, with all that there are.
Result<std::string> document(std::string_view name, const Household& household,
                             const Records& records, Instant now);

}  // namespace wheymark
