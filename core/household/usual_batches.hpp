// The batches that a culture's people told as usual, in the configuration or as a fact, and what
// their hours show of its pace.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/jar/brew_tables.hpp"
#include "core/pace/usual_hours.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

struct UsualBatches {
  std::vector<UsualBatch> told;      // each once, with the amounts as set up
  std::optional<double> own_days_c;  // the mean of the days of the usual jar's place
  friend bool operator==(const UsualBatches&, const UsualBatches&) = default;
};

// The pace at which the peak of each opens after its hours. It is as wide as people round, as the
// air is not known, and as pace may differ in another room or with another load than the setup's.
std::vector<UsualShown> shown_by(const UsualBatches& usual, const CultureId& culture,
                                 const HouseholdSetup& setup, BrewTables& tables,
                                 const Parameters& parameters);

// "22 h at 21 °C with 20 g in 950 mL".
std::string text_of(const UsualBatch& batch);

}  // namespace wheymark
