// One month of a household in a few numbers, as text and as a picture.
#pragma once

#include <chrono>
#include <string>
#include <vector>

#include "core/basis/result.hpp"
#include "core/household/household.hpp"
#include "plugin/history/records.hpp"

namespace wheymark {

struct Month {
  struct Peak {
    double room_c;
    double hours;
    bool over_fermented;
  };
  struct Grown {
    std::string culture;
    double first_g;  // when the month began, or when they came
    double last_g;
    double moved_g;  // joined them, less what was taken away
  };
  std::chrono::year_month month;
  int batches = 0;
  int strained = 0;
  int over_fermented = 0;
  std::vector<Peak> peaks;  // where both are known
  int bottles = 0;          // stored
  int thrown_away = 0;      // of what ended in this month after it was stored
  std::vector<Grown> grains;
};

// "2027-03"; empty is the month of `now`. The household's own months.
Result<std::chrono::year_month> month_from(std::string_view text, Instant now,
                                           const HouseholdSetup& setup);

Month month_of(std::chrono::year_month month, const Household& household, const Records& records);

std::string text_of(const Month& month, const HouseholdSetup& setup);
std::string svg_of(const Month& month, const HouseholdSetup& setup);

}  // namespace wheymark
