// What Wheymark announces to the household: once, with an id that stays the same, in a sentence to
// read, with the numbers behind it, and with a caution where somebody could be hurt.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "core/basis/units.hpp"
#include "core/basis/words.hpp"
#include "core/household/subject.hpp"

namespace wheymark {

enum class EventKind {
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
  second_begun,
  second_ready,
  not_souring,
  left_out,
  wash_jar,
  grains_hungry,
  surplus_grains,
  grains_advice,
  discard_grains,
  discard_kefir,
  fridge_too_warm,
  room_too_warm,
  room_too_cold,
  thermometer_silent,
  thermometer_not_understood,
  thermometer_stuck,
  thermometer_implausible,
  thermometer_back,
  culture_slower,
  culture_faster
};

template <>
struct Vocabulary<EventKind> {
  static constexpr std::array words{
      Word<EventKind>{EventKind::batch_started, "batch-started"},
      Word<EventKind>{EventKind::peak_near, "peak-near"},
      Word<EventKind>{EventKind::peak_open, "peak-open"},
      Word<EventKind>{EventKind::peak_closing, "peak-closing"},
      Word<EventKind>{EventKind::over_fermented, "over-fermented"},
      Word<EventKind>{EventKind::strained, "strained"},
      Word<EventKind>{EventKind::stored, "stored"},
      Word<EventKind>{EventKind::best_by_near, "best-by-near"},
      Word<EventKind>{EventKind::best_by_passed, "best-by-passed"},
      Word<EventKind>{EventKind::last_day_near, "last-day-near"},
      Word<EventKind>{EventKind::last_day_passed, "last-day-passed"},
      Word<EventKind>{EventKind::vent_lid, "vent-lid"},
      Word<EventKind>{EventKind::second_begun, "second-begun"},
      Word<EventKind>{EventKind::second_ready, "second-ready"},
      Word<EventKind>{EventKind::not_souring, "not-souring"},
      Word<EventKind>{EventKind::left_out, "left-out"},
      Word<EventKind>{EventKind::wash_jar, "wash-jar"},
      Word<EventKind>{EventKind::grains_hungry, "grains-hungry"},
      Word<EventKind>{EventKind::surplus_grains, "surplus-grains"},
      Word<EventKind>{EventKind::grains_advice, "grains-advice"},
      Word<EventKind>{EventKind::discard_grains, "discard-grains"},
      Word<EventKind>{EventKind::discard_kefir, "discard-kefir"},
      Word<EventKind>{EventKind::fridge_too_warm, "fridge-too-warm"},
      Word<EventKind>{EventKind::room_too_warm, "room-too-warm"},
      Word<EventKind>{EventKind::room_too_cold, "room-too-cold"},
      Word<EventKind>{EventKind::thermometer_silent, "thermometer-silent"},
      Word<EventKind>{EventKind::thermometer_not_understood, "thermometer-not-understood"},
      Word<EventKind>{EventKind::thermometer_stuck, "thermometer-stuck"},
      Word<EventKind>{EventKind::thermometer_implausible, "thermometer-implausible"},
      Word<EventKind>{EventKind::thermometer_back, "thermometer-back"},
      Word<EventKind>{EventKind::culture_slower, "culture-slower"},
      Word<EventKind>{EventKind::culture_faster, "culture-faster"}};
};

// A number, an instant or a word behind the sentence; its name ends in the unit.
struct Detail {
  std::string name;
  std::variant<double, Instant, std::string> value;
};

struct Announcement {
  EventKind kind;
  std::string subject;  // "jar-blue", "place-kitchen"
  std::string id;       // never changes: made of what it is about, never of a counter
  Instant time;         // when it became true
  std::string text;
  std::optional<std::string> caution;
  std::vector<Detail> details;
  Subject about = {};  // whose published state changes once this was announced
};

}  // namespace wheymark
