// Instants as the household's own clock shows them, for sentences. Everything else is UTC.
#pragma once

#include <string>

#include "core/basis/units.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// "19:40", rounded to the nearest minute.
std::string clock_text(Instant instant, const HouseholdSetup& setup);

// "19:40", or "Tue 19:40" when that is another day than `seen_from`'s.
std::string near_clock_text(Instant instant, Instant seen_from, const HouseholdSetup& setup);

// "Tue 2 Mar 19:40".
std::string day_and_clock_text(Instant instant, const HouseholdSetup& setup);

// "Tue 16 Mar".
std::string day_text(Instant instant, const HouseholdSetup& setup);

}  // namespace wheymark
