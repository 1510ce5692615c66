// A household and its announcer; each entry of the journal is applied to both.
#pragma once

#include "core/announce/announcer.hpp"
#include "core/household/household.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark::test {

struct Home {
  explicit Home(const HouseholdSetup& setup) : household(setup, default_parameters()) {}
  void apply(const Entry& entry) {
    household.apply(entry);
    announcer.apply(entry);
  }

  Household household;
  Announcer announcer{household};
};

}  // namespace wheymark::test
