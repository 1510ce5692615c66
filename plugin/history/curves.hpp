// Every batch from pouring until its grains came out, as a table that can be given away.
//
// For people who study ferments: what was in the jar, the air about it, and what somebody saw or
// measured. Nobody is named: jars, cultures, places and batches are numbers in the order in which
// they first appear, times are hours since the milk was poured, and no text that a person wrote is
// in it. The columns are described in curves.md.
//
// Downside: the course of a room's air is left as it was read, and that can betray the hour of the
// day, the season and the weather. curves.md says so.
#pragma once

#include "core/household/household.hpp"
#include "plugin/history/records.hpp"
#include "plugin/history/table.hpp"

namespace wheymark {

Table curves_table(const Household& household, const Records& records);

}  // namespace wheymark
