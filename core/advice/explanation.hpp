// Why is this believed of a jar?
//
// Put together when somebody asks, from what the journal has kept: the readings that count, where
// milk, clock and acid stand, what was believed of the culture's pace before this batch, and what
// each report changed.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/air/thermometer.hpp"
#include "core/basis/result.hpp"
#include "core/household/grain_sums.hpp"
#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"

namespace wheymark {

// 10, 50 and 90 %.
struct PaceSpread {
  double p10;
  double p50;
  double p90;
};
PaceSpread spread_of(const PaceBelief& pace);

// The readings of one stay of the batch.
struct ReadingsUsed {
  PlaceId place;
  Instant from;
  Instant until;  // of the stay, or now
  std::size_t readings = 0;
  std::optional<Reading> first;
  std::optional<Reading> last;
  ThermometerStatus thermometer = ThermometerStatus::none;
};

// What is expected of the air where the jar stands.
struct AirExpected {
  PlaceId place;
  double last_c;
  double level_c;               // the mean of its recent days
  double coolest_c, warmest_c;  // of the day ahead
  Instant coolest_at, warmest_at;
  double sd_k;  // a day ahead
};

struct Explanation {
  JarId jar;
  JarState state;
  CultureId culture;                // empty for a jar that holds nothing and has none
  std::optional<GrainSums> grains;  // of a culture of the setup
  std::size_t batches_learned_from = 0;
  std::vector<ReadingsUsed> readings;
  std::optional<AirExpected> air;
  std::optional<Condition> condition;
  std::optional<double> acid_g_per_l;
  PaceSpread pace_before{};
  PaceSpread pace_now{};
  std::vector<WeighedReport> reports;
};

// Refused for an unknown jar.
Result<Explanation> explanation_of(const JarId& jar, const Household& household, Instant now);

// Line by line, to read.
std::vector<std::string> lines_of(const Explanation& explanation, const Household& household,
                                  Instant now);

}  // namespace wheymark
