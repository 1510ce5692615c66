// One batch from the grains' first hour in the milk to the last glass: what was done with it.
//
// The batch goes on after straining, then without grains and perhaps in another jar. Strained into
// several bottles, it goes on in the first of them; what is in each of the others is a batch of its
// own, a share, with the same history up to the straining and a number that no fact has. A share
// starts nothing, and teaches nothing of the grains: its origin does. This is bookkeeping only; how
// far it has fermented is computed by Fermentation.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/basis/units.hpp"
#include "core/pace/rested_pace.hpp"
#include "core/record/facts.hpp"

namespace wheymark {

// From this instant on the batch stood here, in this jar.
struct Stay {
  Instant from;
  JarId jar;
  PlaceId place;
  friend bool operator==(const Stay&, const Stay&) = default;
};

// Something a person saw (a sign) or measured (a pH) in the batch.
struct Observation {
  Instant at;
  std::variant<Sign, double> what;
  double ph_error = 0.0;  // of a pH: what its meter or strip may be off by
  Instant told_at{};
  std::optional<Instant> not_before = std::nullopt;  // see FactRecord
  friend bool operator==(const Observation&, const Observation&) = default;
};

struct Strained {
  std::uint64_t fact;  // the number of its record
  Instant at;
  Strain said;
  std::optional<Instant> not_before = std::nullopt;  // see FactRecord
  friend bool operator==(const Strained&, const Strained&) = default;
};

// Sugar for a second fermentation went in.
struct Sweetened {
  std::uint64_t fact;
  Instant at;
  double sugar_g;
  friend bool operator==(const Sweetened&, const Sweetened&) = default;
};

struct Stored {
  std::uint64_t fact;
  Instant at;
  JarId jar;
  Instant told_at;  // `at` or later
  friend bool operator==(const Stored&, const Stored&) = default;
};

// `mixed`: poured onto older kefir, whose batch goes on with both. `untold`: nobody has said where
// it went.
enum class Ending { finished, discarded, mixed, untold };

struct Ended {
  Instant at;
  Ending how;
  friend bool operator==(const Ended&, const Ended&) = default;
};

// A younger batch was poured onto this one; the older dates go on.
struct Mixed {
  Instant at;
  std::uint64_t batch;  // the younger one's number
  double kefir_ml;      // that came with it
  friend bool operator==(const Mixed&, const Mixed&) = default;
};

// A glass, or more, was poured out of it to drink.
struct Poured {
  std::uint64_t fact;
  Instant at;
  double ml;
  friend bool operator==(const Poured&, const Poured&) = default;
};

// The number of what went into the bottle with this place in the list of a straining, by the number
// of the straining's record. A journal never has 2^40 facts.
inline std::uint64_t share_number(std::uint64_t straining, std::size_t bottle) {
  return straining + ((std::uint64_t{bottle} + 1) << 40U);
}

struct Batch {
  std::uint64_t number;  // of the start's record; a share's own
  Instant started;
  Start start;  // complete
  std::vector<Stay> stays;
  std::vector<Observation> observations;
  Lid lid;
  Instant lid_since;  // or since it was last opened
  std::optional<Strained> strained;
  std::vector<Stored> stored;  // every time that it went to the fridge; the first counts for dates
  bool in_fridge = false;
  std::optional<Ended> ended;
  std::vector<Mixed> mixed = {};
  bool out_for_mixing = false;  // it was carried to the counter for it, and not stored since
  std::optional<AfterRest> after_rest = std::nullopt;
  std::vector<Sweetened> sweetened = {};
  bool in_second = false;                                // until it is stored
  bool fullest_yet = true;                               // its jar never held as much milk before
  std::optional<std::uint64_t> share_of = std::nullopt;  // the number of the batch it came from
  double strained_ml = 0.0;                              // of kefir, into where it stands since
  std::vector<Poured> poured = {};
  // It was told as a whole, from before: nothing was measured while it worked but the mean of its
  // air.
  bool remembered = false;
  std::optional<double> room_c = std::nullopt;  // of a remembered one
  // It came out of its jar for the next milk, and nobody has said yet into what.
  bool without_bottle = false;

  // The number of the stay in which it was at this instant; on a border, the later one.
  [[nodiscard]] std::size_t stay_at(Instant instant) const {
    std::size_t i = stays.size() - 1;
    while (i > 0 && stays[i].from > instant) --i;
    return i;
  }
  [[nodiscard]] const JarId& jar() const { return stays.back().jar; }
  [[nodiscard]] const PlaceId& place() const { return stays.back().place; }
  [[nodiscard]] bool fermenting() const { return !strained && !ended; }
  // The batch that a share came from, or itself.
  [[nodiscard]] std::uint64_t origin() const { return share_of.value_or(number); }
  // How much there was of it then: milk, and kefir once that was strained.
  [[nodiscard]] double ml_at(Instant instant) const {
    if (!strained || instant < strained->at) return *start.milk_ml;
    double ml = strained_ml;
    for (const Mixed& more : mixed) ml += more.at <= instant ? more.kefir_ml : 0.0;
    for (const Poured& glass : poured) ml -= glass.at <= instant ? glass.ml : 0.0;
    return std::max(0.0, ml);
  }
  [[nodiscard]] double ml_now() const { return ml_at(Instant::max()); }
  friend bool operator==(const Batch&, const Batch&) = default;
};

}  // namespace wheymark
