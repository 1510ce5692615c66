// Batches of before as a table that a person has written, or that `export` wrote elsewhere: RFC
// 4180 with a header, the columns named as in the table of batches. A cell becomes a field of a
// report and is read by the same rules; an instant without a zone is one of the home's clock.
//
// `started` is required, and `strained` or `hours`. What says nothing of a batch of before
// (`batch`, `into`, `ended`, ...) is not read, so that an export can be given as it is.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/record/facts.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

struct RowOfBefore {
  std::size_t line;  // in the text, from 1: the header's is 1
  Remembered batch;  // not complete
};

struct TableOfBefore {
  std::vector<RowOfBefore> rows;
  std::size_t never_strained = 0;       // rows of batches that were thrown away or still work
  std::vector<std::string> complaints;  // all of them: the line, the column, what is allowed
};

TableOfBefore table_of_before(std::string_view csv, const HouseholdSetup& setup);

}  // namespace wheymark
