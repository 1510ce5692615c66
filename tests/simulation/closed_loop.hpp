// Weeks of people who live with their jars in different ways: by the clock, by looking, by events,
// by asking for plans, and by doing what notices say when they say it. The kefir ferments by other
// kinetics (other_kinetics.hpp); whether it was strained at its peak is that world's own truth.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

#include "core/forecast/forecast.hpp"
#include "tests/simulation/real_room.hpp"

namespace wheymark::simulation {

enum class Habit {
  each_day,        // strained 24 hours after the start, or when awake after that
  looking,         // looked at every two waking hours, strained when pockets show
  on_peak_open,    // goes there when `peak-open` is told, strains when pockets show
  asking,          // the same, and asks the plan at each feeding and each evening
  notices,         // does what notices say when they say it, and strains when told
  notices_looking  // the same, but strains only what shows pockets, and looks again if it does not
};

struct LifeAsked {
  std::uint64_t seed;
  Habit habit;
  bool says_verdict;  // whether a button offers a verdict; else it is a plain press
  std::size_t jars = 1;
  bool reads_aloud = false;  // keeps the texts
};

struct TextSaid {
  std::string at;  // the local hour
  std::string text;
};

// Of the batches from the fifth of each jar on.
struct Lived {
  double batches = 0, at_peak = 0, early = 0, late = 0;
  double looks = 0, moves = 0, days = 0;
  double notices = 0, at_night = 0, safety = 0;
  double most_in_a_day = 0;
  // The forecast of the peak's opening at 40 % of the way, beside what came, as shares of the
  // batch's length from its start to the true opening.
  std::vector<double> errors, widths;
  double held = 0;  // how often its interval held the truth
  std::vector<TextSaid> said;

  void judge(const InstantSpread& opens, Instant came, double length_h) {
    const bool both_ends = opens.p10 && opens.p90;
    errors.push_back(std::abs(hours_between(came, *opens.p50)) / length_h);
    widths.push_back(both_ends ? hours_between(*opens.p10, *opens.p90) / length_h : 9.9);
    held += both_ends && *opens.p10 <= came && came <= *opens.p90 ? 1.0 : 0.0;
  }
  void add(const Lived& other) {
    batches += other.batches;
    at_peak += other.at_peak;
    early += other.early;
    late += other.late;
    looks += other.looks;
    moves += other.moves;
    days += other.days;
    notices += other.notices;
    at_night += other.at_night;
    safety += other.safety;
    most_in_a_day = std::max(most_in_a_day, other.most_in_a_day);
    errors.insert(errors.end(), other.errors.begin(), other.errors.end());
    widths.insert(widths.end(), other.widths.begin(), other.widths.end());
    held += other.held;
    said.insert(said.end(), other.said.begin(), other.said.end());
  }
};

Lived lived_by(const LifeAsked& who, std::size_t batches, const Rooms& rooms);

}  // namespace wheymark::simulation
