// How much kefir is there, how fast is it drunk in this household, and how much milk does that ask
// for next?
//
// The pace is learned from what was said of the last two weeks: glasses that were poured, and
// bottles that were finished, whose last part was drunk evenly since they were last poured from.
// Who says neither has no pace, and then only the amount is known. What must be thrown out is no
// stock: kefir beyond its last day, and whatever is suspect.
#pragma once

#include <optional>
#include <string>

#include "core/household/household.hpp"

namespace wheymark {

struct Stock {
  double kefir_ml = 0.0;           // in bottles and jars, in the fridge or on the table
  double without_bottle_ml = 0.0;  // that nobody has said where it is
  std::optional<JarId> use_first;  // the one of them in a fridge that keeps the shortest
  std::optional<double> ml_per_d;  // drunk
  std::optional<double> lasts_d;   // until all of it is drunk
  std::optional<double> milk_ml;   // to set next; 0: there is enough
};

Stock stock_of(const Household& household, Instant now);

// "1.65 L of kefir in all, about 2 days' worth at 800 mL a day; use Swing-top 1 first. About 700 mL
// of milk next keeps pace with that."
std::string stock_sentence(const Stock& stock, const HouseholdSetup& setup);

}  // namespace wheymark
