// What Wheymark says to the household: once, with an id that stays the same, in a sentence to read,
// with the numbers behind it, and with a caution where somebody could be hurt.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/basis/units.hpp"
#include "core/basis/words.hpp"

namespace wheymark {

enum class Happening {
  batch_started,
  peak_near,
  peak_open,
  peak_closing,
  over_fermented,
  strained,
  stored,
  best_by_near,
  best_by_passed,
  last_day_near,
  last_day_passed,
  vent_lid,
  wash_jar,
  grains_hungry,
  surplus_grains,
  grains_advice,
  discard_grains,
  fridge_too_warm,
  room_too_warm,
  room_too_cold,
  thermometer_silent,
  thermometer_stuck,
  thermometer_implausible,
  thermometer_back,
  culture_slower,
  culture_faster
};

template <>
struct Vocabulary<Happening> {
  static constexpr std::array words{
      Word<Happening>{Happening::batch_started, "batch-started"},
      Word<Happening>{Happening::peak_near, "peak-near"},
      Word<Happening>{Happening::peak_open, "peak-open"},
      Word<Happening>{Happening::peak_closing, "peak-closing"},
      Word<Happening>{Happening::over_fermented, "over-fermented"},
      Word<Happening>{Happening::strained, "strained"},
      Word<Happening>{Happening::stored, "stored"},
      Word<Happening>{Happening::best_by_near, "best-by-near"},
      Word<Happening>{Happening::best_by_passed, "best-by-passed"},
      Word<Happening>{Happening::last_day_near, "last-day-near"},
      Word<Happening>{Happening::last_day_passed, "last-day-passed"},
      Word<Happening>{Happening::vent_lid, "vent-lid"},
      Word<Happening>{Happening::wash_jar, "wash-jar"},
      Word<Happening>{Happening::grains_hungry, "grains-hungry"},
      Word<Happening>{Happening::surplus_grains, "surplus-grains"},
      Word<Happening>{Happening::grains_advice, "grains-advice"},
      Word<Happening>{Happening::discard_grains, "discard-grains"},
      Word<Happening>{Happening::fridge_too_warm, "fridge-too-warm"},
      Word<Happening>{Happening::room_too_warm, "room-too-warm"},
      Word<Happening>{Happening::room_too_cold, "room-too-cold"},
      Word<Happening>{Happening::thermometer_silent, "thermometer-silent"},
      Word<Happening>{Happening::thermometer_stuck, "thermometer-stuck"},
      Word<Happening>{Happening::thermometer_implausible, "thermometer-implausible"},
      Word<Happening>{Happening::thermometer_back, "thermometer-back"},
      Word<Happening>{Happening::culture_slower, "culture-slower"},
      Word<Happening>{Happening::culture_faster, "culture-faster"}};
};

// A number, an instant or a word behind the sentence; its name ends in the unit.
struct Detail {
  std::string name;
  std::variant<double, Instant, std::string> value;
};

struct Announcement {
  Happening kind;
  std::string subject;  // "jar-blue", "place-kitchen"
  std::string id;       // of this happening for ever: made of what it is about, never of a counter
  Instant time;         // when it became true
  std::string text;
  std::optional<std::string> caution;
  std::vector<Detail> details;
};

}  // namespace wheymark
