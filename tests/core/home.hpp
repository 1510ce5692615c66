// A household, its announcer and its attention; each entry of the journal is applied to all.
#pragma once

#include "core/announce/announcer.hpp"
#include "core/household/household.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/notice/attention.hpp"

namespace wheymark::test {

struct LivedHousehold {
  explicit LivedHousehold(const HouseholdSetup& setup) : household(setup, default_parameters()) {}
  void apply(const Entry& entry) {
    household.apply(entry);
    announcer.apply(entry);
    attention.apply(entry);
  }

  Household household;
  Announcer announcer{household};
  Attention attention{household};
};

}  // namespace wheymark::test
