// A jar is running: what can be done with it now, so that its peak does not fall into the night?
//
// It can be left, carried to another room, cooled in the fridge from an hour until an hour, or,
// when the peak is there, strained. Each way is forecast with the milk's own lag and ranked by the
// chance that the peak is open while somebody can strain. Only hours at which somebody is awake are
// offered. Leaving it costs nothing, so it wins where it is nearly as good.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "core/advice/feeding.hpp"
#include "core/advice/plan_request.hpp"
#include "core/basis/result.hpp"
#include "core/basis/words.hpp"
#include "core/forecast/forecast.hpp"
#include "core/household/household.hpp"

namespace wheymark {

enum class Remedy { leave, move, cool, strain };

template <>
struct Vocabulary<Remedy> {
  static constexpr std::array words{
      Word<Remedy>{Remedy::leave, "leave"}, Word<Remedy>{Remedy::move, "move"},
      Word<Remedy>{Remedy::cool, "cool"}, Word<Remedy>{Remedy::strain, "strain"}};
};

struct Way {
  Remedy step;
  std::optional<Instant> at;     // of a move, of cooling
  std::optional<Instant> until;  // of cooling
  PlaceId place;                 // where it then stands
  InstantSpread opens;
  InstantSpread closes;
  double chance;  // that the peak is open while somebody can strain
};

struct SteeringAdvice {
  JarId jar;
  CultureId culture;
  std::optional<Instant> ready_by;
  Way left;               // as it is
  std::vector<Way> best;  // at most three, the first is the advice
  std::vector<PlaceLeftOut> left_out;
  std::size_t ways;

  // Whether any of the best is more likely than not.
  [[nodiscard]] bool is_good() const { return is_any_good(best); }
};

// Refused when the jar holds no batch with its grains, or its peak cannot be forecast.
Result<SteeringAdvice> advise_steering(const PlanRequest& request, const Household& household,
                                       Instant now);

}  // namespace wheymark
