// A table of batches of before becomes facts of the journal: all of its rows, or none.
//
// A row is known by its jar and the second in which it was started: what is known already, from an
// earlier run or because it was followed here, is left out. So the same table twice is the same as
// once.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/household/household.hpp"
#include "core/record/entry.hpp"

namespace wheymark {

struct Remembering {
  std::vector<Entry> entries;  // to be recorded together
  std::size_t known = 0;
  std::size_t never_strained = 0;
  std::vector<std::string> complaints;  // if there are any, nothing is to be recorded

  // "12 batches are remembered; 3 were known already".
  [[nodiscard]] std::string answer() const;
};

Remembering remembering(std::string_view csv, const Household& household, Instant now);

}  // namespace wheymark
