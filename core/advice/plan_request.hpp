// What somebody asks for: kefir by an hour, or at any hour at which somebody is awake; and what of
// a feeding may differ from the usual for it.
//
// A plan request is a question. It changes nothing and is not stored.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/basis/result.hpp"
#include "core/basis/units.hpp"
#include "core/basis/words.hpp"
#include "core/forecast/in_time.hpp"
#include "core/record/facts.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// What of a feeding may vary.
enum class Varied { grain, milk, place, start };

template <>
struct Vocabulary<Varied> {
  static constexpr std::array words{
      Word<Varied>{Varied::grain, "grain"}, Word<Varied>{Varied::milk, "milk"},
      Word<Varied>{Varied::place, "place"}, Word<Varied>{Varied::start, "start"}};
};

// The next feeding, or the batch that a jar holds.
enum class About { feeding, batch };

template <>
struct Vocabulary<About> {
  static constexpr std::array words{Word<About>{About::feeding, "feeding"},
                                    Word<About>{About::batch, "batch"}};
};

struct PlanRequest {
  std::optional<About> about = {};  // left out: the batch that the jar holds, if it holds one
  std::optional<JarId> jar = {};
  std::optional<CultureId> culture = {};
  std::optional<Instant> ready_by = {};
  std::vector<Varied> vary{Varied::grain, Varied::milk, Varied::place, Varied::start};
  // What is settled already; it does not vary, whatever `vary` says.
  std::optional<double> grain_g = {};
  std::optional<double> milk_ml = {};
  std::optional<PlaceId> place = {};
  std::optional<Instant> start_at = {};
  std::optional<MilkKind> milk = {};
  std::optional<Treatment> treatment = {};
  std::optional<double> milk_c = {};

  [[nodiscard]] bool may_vary(Varied what) const;
};

// Refused when it is past, or further ahead than anything can be forecast.
Outcome ready_by_in_range(std::optional<Instant> ready_by, Instant now,
                          const HouseholdSetup& setup);

// When somebody can strain, for what begins at `from`: in the last two waking hours before
// `ready_by` and at that hour itself; without one, whenever somebody is awake, as far as a forecast
// goes, but for the time that noticing and straining take.
std::vector<Attended> attended_for(std::optional<Instant> ready_by, Instant from,
                                   const HouseholdSetup& setup);

}  // namespace wheymark
