// What a tile says in words: it must be understood at a glance, from some metres away.
//
// The headline is the state of the kefir, the next line what to do and when, the third how sure
// that is. Everything that the picture shows is here in words, for those who hear it instead.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/basis/units.hpp"
#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// What is in the jar, for its picture.
enum class Appearance { empty, milk, curd, whey_pockets, whey_layer, kefir };

struct TileWords {
  std::string name;
  std::string headline;            // "Working"
  std::vector<std::string> lines;  // "Strain about 19:40", "likely 18:10 to 21:30"
  std::optional<double> share;     // how full the bar is; may be above 1
  std::string share_text;          // "62 %"
  std::optional<double> mark;      // where on the bar something changes
  Appearance look = Appearance::empty;
  std::string spoken;  // all of it as sentences
};

TileWords words_of_tile(const Household& household, const JarSetup& jar, const JarState& state,
                        Instant now);

// "19:40", or "Tue 07:10" when that is not today.
std::string clock_or_day(Instant instant, Instant now, const HouseholdSetup& setup);

}  // namespace wheymark
