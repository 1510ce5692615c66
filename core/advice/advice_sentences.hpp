// Advice as it can be read aloud: what to do, when it will be ready, and why so.
//
// Nothing here says that food is safe. A chance is given as it was computed, also when it is small.
#pragma once

#include <string>

#include "core/advice/feeding.hpp"
#include "core/advice/steering.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// "Feed at 19:00 with 20 g in 800 mL (Pantry shelf): ready between Tue 05:30 and Tue 08:10"
std::string advice_text(const Feeding& feeding, Instant now, const HouseholdSetup& setup);
// "Cool it in the fridge from 22:00 until Tue 07:30: ready between Tue 09:10 and Tue 11:40"
std::string advice_text(const Way& way, Instant now, const HouseholdSetup& setup);

// "ready between Tue 05:30 and Tue 08:10"
std::string ready_text(const Feeding& feeding, Instant now, const HouseholdSetup& setup);

// All of the advice in some sentences: what to do, the chance, and why.
std::string advice_text(const FeedingAdvice& advice, const Household& household, Instant now);
std::string advice_text(const SteeringAdvice& advice, const Household& household, Instant now);

// Why the first is the advice; not empty.
std::string why(const FeedingAdvice& advice, const Household& household, Instant now);
std::string why(const SteeringAdvice& advice, const Household& household, Instant now);

}  // namespace wheymark
