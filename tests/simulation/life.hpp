// Weeks in one simulated household: a thermometer that reports, a person who feeds, looks, reports
// what was seen (late, at night not at all, sometimes wrongly), strains; and what Wheymark forecast
// meanwhile, beside what then happened.
#pragma once

#include <cstdint>
#include <vector>

#include "core/advice/steering.hpp"
#include "core/household/household.hpp"
#include "tests/simulation/other_kinetics.hpp"
#include "tests/simulation/real_room.hpp"

namespace wheymark::simulation {

// What was forecast of one milestone of a batch, beside what came; shares of the batch's length,
// from its start to the true opening of its peak.
struct Scored {
  std::size_t batch;   // 0 is the household's first
  double error_share;  // median minus truth; a large number without a median
  double width_share;  // p90 minus p10; a large number when one is missing
  bool covered;        // p10 <= truth <= p90
};

struct LifeStory {
  // The opening and the closing of the peak, both asked at 40 % of the way.
  std::vector<Scored> opens;
  std::vector<Scored> closes;
  // The closing, asked when the peak opens, of batches that were still in their jar.
  std::vector<Scored> closes_of_an_open_peak;
  double peak_h = 0.0;           // summed over the batches asked for
  double peak_h_computed = 0.0;  // between the medians
  std::size_t slower_said = 0;   // announcements that the culture has changed
  std::size_t faster_said = 0;
};

// From then on the grains are faster or slower by this factor.
struct Change {
  std::size_t from_batch;
  double speed_factor;
};

// `swing_k`: by how much its cold weeks are colder, and its warm ones warmer.
LifeStory lived(std::uint64_t seed, std::size_t batches, const Rooms& rooms,
                const Change& change = {1'000'000, 1.0}, double swing_k = 0.0);

// A feeding that was advised and done as advised, beside what then happened; and what would have
// happened to the usual feeding at the time of asking.
struct Advised {
  bool for_an_hour;        // asked for an hour, or for any hour awake
  double promised;         // the chance that the peak is open while somebody can strain
  bool kept;               // it was
  bool late;               // it opened after all hours asked for; else, not kept, it closed before
  bool covered;            // the true opening lay between the two hours of the sentence
  double peak_h_promised;  // between the medians of opening and closing
  double peak_h;
  double as_usual_promised;
  bool as_usual_kept;
};

// The same household, with a pantry some kelvins colder, that asks for advice before each batch
// after the first four.
std::vector<Advised> advised(std::uint64_t seed, std::size_t batches, const Rooms& rooms);

// An evening's advice about a jar that is running, done as advised, beside what then happened, and
// what would have happened had it been left.
struct Steered {
  Remedy step;
  double promised;  // the chance that the peak is open while somebody can strain
  bool kept;        // it was
  double left_promised;
  bool left_kept;
};

// The same household with a fridge that has a thermometer: asks at nine in the evening of each
// batch after the first four whose peak is not open by then.
std::vector<Steered> steered(std::uint64_t seed, std::size_t batches, const Rooms& rooms);

}  // namespace wheymark::simulation
