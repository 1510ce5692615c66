// What stands in a fridge as JSON, the oldest first:
//
//   [{"jar":"swing-1","name":"Swing-top 1","stored":"2027-03-01T09:00:00Z","age_d":3.2,
//     "effective_age_d":3.5,"best_by":"2027-03-14T21:00:00Z","last_day":"...",
//     "flavour":"a little sourer and thicker, perhaps with a tingle"}]
#pragma once

#include <string>
#include <vector>

#include "core/household/keeping.hpp"
#include "core/household/plan.hpp"

namespace wheymark {

std::string inventory_json(const std::vector<Kept>& bottles, const Plan& plan);

// The same for a person, a line each.
std::string inventory_text(const std::vector<Kept>& bottles, const Plan& plan);

}  // namespace wheymark
