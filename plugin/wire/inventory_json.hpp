// What stands in a fridge as JSON, the oldest first:
//
//   [{"jar":"swing-1","name":"Swing-top 1","ml":750,"stored":"2027-03-01T09:00:00Z","age_d":3.2,
//     "effective_age_d":3.5,"best_by":"2027-03-14T21:00:00Z","last_day":"...",
//     "flavour":"a little sourer and thicker, perhaps with a tingle"}]
#pragma once

#include <string>
#include <vector>

#include "core/household/stock.hpp"
#include "core/household/stored_kefir.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

std::string inventory_json(const std::vector<StoredKefir>& bottles, const HouseholdSetup& setup);

// The same for a person, a line each; and how much there is in all.
std::string inventory_text(const std::vector<StoredKefir>& bottles, const Stock& stock,
                           const HouseholdSetup& setup);

}  // namespace wheymark
