// When the household is awake: people look at jars then, and then a peak is of use to them.
#pragma once

#include <chrono>
#include <vector>

#include "core/basis/units.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Hours between two instants in which somebody may have looked at a jar: waking hours count fully,
// the others a seventh (some get up early, some come home late).
double looked_h_between(Instant from, Instant to, const HouseholdSetup& setup);

bool awake_at(Instant instant, const HouseholdSetup& setup);

// From going to bed to getting up.
struct Night {
  Instant from;
  Instant until;
};

// The nights that lie at least partly between two instants, in their order.
std::vector<Night> nights_between(Instant from, Instant to, const HouseholdSetup& setup);

// The instant itself when somebody is awake, else when somebody next gets up.
Instant when_awake(Instant instant, const HouseholdSetup& setup);

}  // namespace wheymark
