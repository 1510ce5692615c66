// What wants attention beside the running batch's own hours: lids, bottles, grains, places.
//
// They are the occurrences that are announced as events, worded as they stand now: what is no
// longer so is not told. A key is the occurrence's id, which never changes.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "core/household/household.hpp"
#include "core/notice/notice.hpp"

namespace wheymark {

struct CareAsked {
  Instant now;
  Instant foreseen_until;   // lids that want venting by then are told as well
  Instant listening_since;  // thermometers are heard
  // Whether a matter was told, by its key.
  std::function<bool(const std::string&)> was_told;
};

// Glass or food at risk.
std::vector<Matter> safety_matters(const Household& household, const CareAsked& asked);
// Everything else that is so by now and was not told.
std::vector<Matter> care_matters(const Household& household, const CareAsked& asked);

}  // namespace wheymark
