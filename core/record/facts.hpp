// What a person does and sees, as facts about jars and cultures.
//
// A fact as it is reported may leave out what the jar's setup gives (see `completed`); a fact as it
// is kept has everything, so that the journal means the same after the setup changes.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/basis/ids.hpp"
#include "core/basis/result.hpp"
#include "core/basis/units.hpp"
#include "core/basis/words.hpp"
#include "core/kinetics/milk_kind.hpp"
#include "core/kinetics/signs.hpp"

namespace wheymark {

enum class Lid { loose, tight };

template <>
struct Vocabulary<Lid> {
  static constexpr std::array words{Word<Lid>{Lid::loose, "loose"}, Word<Lid>{Lid::tight, "tight"}};
};

// What the grains look like. The first three are usual; each of the others is a reason to discard.
enum class GrainColour { white, cream, yellowish, pink, black, grey, blue, green, orange };

template <>
struct Vocabulary<GrainColour> {
  static constexpr std::array words{Word<GrainColour>{GrainColour::white, "white"},
                                    Word<GrainColour>{GrainColour::cream, "cream"},
                                    Word<GrainColour>{GrainColour::yellowish, "yellowish"},
                                    Word<GrainColour>{GrainColour::pink, "pink"},
                                    Word<GrainColour>{GrainColour::black, "black"},
                                    Word<GrainColour>{GrainColour::grey, "grey"},
                                    Word<GrainColour>{GrainColour::blue, "blue"},
                                    Word<GrainColour>{GrainColour::green, "green"},
                                    Word<GrainColour>{GrainColour::orange, "orange"}};
};

enum class GrainSmell { neutral, yeasty, sour, strongly_yeasty, strongly_sour, rotten };

template <>
struct Vocabulary<GrainSmell> {
  static constexpr std::array words{
      Word<GrainSmell>{GrainSmell::neutral, "neutral"},
      Word<GrainSmell>{GrainSmell::yeasty, "yeasty"},
      Word<GrainSmell>{GrainSmell::sour, "sour"},
      Word<GrainSmell>{GrainSmell::strongly_yeasty, "strongly-yeasty"},
      Word<GrainSmell>{GrainSmell::strongly_sour, "strongly-sour"},
      Word<GrainSmell>{GrainSmell::rotten, "rotten"}};
};

// Where grains went that are no longer kept going.
enum class SpareUse { given_away, eaten, frozen, dried, thrown_away };

template <>
struct Vocabulary<SpareUse> {
  static constexpr std::array words{
      Word<SpareUse>{SpareUse::given_away, "given-away"}, Word<SpareUse>{SpareUse::eaten, "eaten"},
      Word<SpareUse>{SpareUse::frozen, "frozen"}, Word<SpareUse>{SpareUse::dried, "dried"},
      Word<SpareUse>{SpareUse::thrown_away, "thrown-away"}};
};

// Grains and milk come together in a jar. Everything but the jar may be left out of the report. A
// jar that has worked for hours is strained by it.
struct Start {
  JarId jar;
  std::optional<CultureId> culture;
  std::optional<MilkKind> milk;
  std::optional<Treatment> treatment;
  std::optional<double> milk_ml;
  std::optional<double> grain_g;
  std::optional<Lid> lid;
  std::optional<PlaceId> place;
  std::optional<double> milk_c;  // fridge-cold when left out
  std::optional<Instant> ready_by;
  friend bool operator==(const Start&, const Start&) = default;
};

struct SignSeen {
  JarId jar;
  Sign sign;
  friend bool operator==(const SignSeen&, const SignSeen&) = default;
};

// `error` is what the meter or strip may be off by, ph_error_usual when left out.
struct PhMeasured {
  JarId jar;
  double ph;
  std::optional<double> error = std::nullopt;
  friend bool operator==(const PhMeasured&, const PhMeasured&) = default;
};

struct Move {
  JarId jar;
  PlaceId place;
  friend bool operator==(const Move&, const Move&) = default;
};

struct LidPut {
  JarId jar;
  Lid lid;
  friend bool operator==(const LidPut&, const LidPut&) = default;
};

// What goes into one bottle: all that is left, where no amount is kept. A bottle is closed, unless
// its setup or the person says otherwise.
struct Portion {
  JarId jar;
  std::optional<double> ml = std::nullopt;
  std::optional<Lid> lid = std::nullopt;
  friend bool operator==(const Portion&, const Portion&) = default;
};

// Grains out of the kefir, which is `ml`. What goes into no bottle stays in the same jar. `grain_g`
// is what came out. `lid` is that of everything that it is strained into; the same jar keeps the
// lid that it has.
struct Strain {
  JarId jar;
  std::vector<Portion> into;
  std::optional<Verdict> verdict;
  std::optional<double> grain_g;
  std::optional<Lid> lid = std::nullopt;
  std::optional<double> ml = std::nullopt;
  friend bool operator==(const Strain&, const Strain&) = default;
};

// To the fridge: the jar's own place if that is one, else the household's first. With its grains in
// it, the jar is only cooled. `from` is the jar whose kefir was filled into this one before,
// without a word: `ml` of it, under `lid`.
struct StoreAway {
  JarId jar;
  std::optional<PlaceId> place;
  std::optional<JarId> from = std::nullopt;
  std::optional<double> ml = std::nullopt;
  std::optional<Lid> lid = std::nullopt;
  friend bool operator==(const StoreAway&, const StoreAway&) = default;
};

// Out of the fridge, to `place`: where the batch fermented, when left out.
struct Take {
  JarId jar;
  std::optional<PlaceId> place;
  friend bool operator==(const Take&, const Take&) = default;
};

// Sugar, or the sugar of fruit, goes into strained kefir that stands out of the fridge, to ferment
// a second time. Said again, it was more sugar. The lid is tight when left out, unless the jar's
// setup says otherwise.
struct SecondBegun {
  JarId jar;
  double sugar_g;
  std::optional<Lid> lid = std::nullopt;
  friend bool operator==(const SecondBegun&, const SecondBegun&) = default;
};

// Out of a bottle or a jar of kefir, to drink: a glass, when left out.
struct Pour {
  JarId jar;
  std::optional<double> ml;
  friend bool operator==(const Pour&, const Pour&) = default;
};

struct Finish {
  JarId jar;
  friend bool operator==(const Finish&, const Finish&) = default;
};

struct Discard {
  JarId jar;
  std::optional<std::string> why;
  friend bool operator==(const Discard&, const Discard&) = default;
};

// Drained grains on a scale: all of the culture's, or only those that are in no jar.
struct Weigh {
  CultureId culture;
  double grain_g;
  bool out_of_jars = false;
  friend bool operator==(const Weigh&, const Weigh&) = default;
};

// Grains to rest in milk in the fridge; reported again when their milk is changed. Fridge: the
// household's first, when left out.
struct Rest {
  CultureId culture;
  std::optional<PlaceId> place;
  friend bool operator==(const Rest&, const Rest&) = default;
};

// Out of the fridge. A start wakes resting grains as well.
struct Wake {
  CultureId culture;
  friend bool operator==(const Wake&, const Wake&) = default;
};

// What was seen, smelt or felt, of a culture's grains or of a jar: at least one of the four. Of a
// jar with its grains in it, it is said of these; of strained kefir, it is said of that. Complete,
// it names the culture, whatever was looked at.
struct Inspect {
  std::optional<CultureId> culture;
  std::optional<GrainColour> colour;
  std::optional<GrainSmell> smell;
  std::optional<bool> sticky;
  std::optional<bool> mould = std::nullopt;
  std::optional<JarId> jar = std::nullopt;
  friend bool operator==(const Inspect&, const Inspect&) = default;
};

// Grains that leave the culture: so many, or all of them.
struct Spare {
  CultureId culture;
  SpareUse use;
  std::optional<double> grain_g;
  bool all = false;
  friend bool operator==(const Spare&, const Spare&) = default;
};

// Grains of one culture that go on as another, or join it.
struct Split {
  CultureId culture;
  CultureId into;
  double grain_g;
  friend bool operator==(const Split&, const Split&) = default;
};

// The jar was washed: hot water, no scent.
struct Wash {
  JarId jar;
  friend bool operator==(const Wash&, const Wash&) = default;
};

// A batch as it usually is: the hours from pouring to the first whey pockets, in air of so many
// degrees on average. What is left out of a report comes from the setup; the air's from the place's
// own days, and is not known while these are not.
struct UsualBatch {
  double hours;
  std::optional<double> air_c = std::nullopt;
  std::optional<double> grain_g = std::nullopt;
  std::optional<double> milk_ml = std::nullopt;
  std::optional<double> milk_c = std::nullopt;
  friend bool operator==(const UsualBatch&, const UsualBatch&) = default;
};

// How long the batches of a culture usually take, as people round: at least one.
struct Usual {
  CultureId culture;
  std::vector<UsualBatch> usual;
  friend bool operator==(const Usual&, const Usual&) = default;
};

// A batch of before, told as a whole and however late: from pouring until the grains came out.
// `peak` is when whey pockets were seen, `room_c` the mean of its air. It is history and evidence,
// and changes neither what a jar holds nor how much grain there is.
struct Remembered {
  Start start;
  Instant started;
  Instant strained;
  std::optional<Instant> peak = std::nullopt;
  std::optional<Verdict> verdict = std::nullopt;
  std::optional<double> room_c = std::nullopt;
  std::optional<double> grain_out_g = std::nullopt;
  friend bool operator==(const Remembered&, const Remembered&) = default;
};

// Takes back the fact that was reported with this `ref`.
struct Retract {
  std::string ref;
  friend bool operator==(const Retract&, const Retract&) = default;
};

// Takes back what was said last of a jar, or of a culture's grains: the record with the number
// `id`, which a complete one has. So the next one takes back what was said before that.
struct Undo {
  std::optional<CultureId> culture;
  std::optional<JarId> jar;
  std::optional<std::uint64_t> id = std::nullopt;
  friend bool operator==(const Undo&, const Undo&) = default;
};

using Fact = std::variant<Start, SignSeen, PhMeasured, Move, LidPut, Strain, StoreAway, Take, Pour,
                          Finish, Discard, Weigh, Rest, Wake, Inspect, Spare, Split, Wash,
                          SecondBegun, Retract, Undo, Usual, Remembered>;

// A kitchen's pH meter, calibrated now and then (our estimate).
inline constexpr double ph_error_usual = 0.05;

// The word of each kind of fact, in the order of the variant.
inline constexpr std::array<std::string_view, std::variant_size_v<Fact>> fact_words{
    "start", "sign",   "ph",      "move",    "lid",  "strain", "store",   "take",
    "pour",  "finish", "discard", "weigh",   "rest", "wake",   "inspect", "spare",
    "split", "wash",   "second",  "retract", "undo", "usual",  "remember"};

// What a person reported, as it came in: `at` when it happened (else when it arrived). `sure`: what
// we doubt is meant as it is said.
struct Report {
  Fact fact;
  std::optional<Instant> at;
  std::optional<std::string> ref;
  bool sure = false;
  // It waited at the broker while nobody was there to hear it, and was said some time since then.
  std::optional<Instant> not_before = std::nullopt;
};

// A fact that was accepted. `number` grows by one with every accepted fact of a journal.
struct FactRecord {
  std::uint64_t number;
  Instant at;       // when it happened
  Instant told_at;  // when it was reported
  std::optional<std::string> ref;
  Fact fact;
  std::optional<Instant> not_before = std::nullopt;  // then it happened between this and `at`
};

}  // namespace wheymark
