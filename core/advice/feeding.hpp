// When to feed, with how much, and where, so that the peak is open while somebody can strain?
//
// All combinations of what may vary are forecast, some thousand, and ranked by that chance. A
// change from the usual costs a chance of some percent, so that the usual wins where it is nearly
// as good. Milk is assumed as cold as it usually goes in, and the air of each place as on its own
// recent days. It stops being true when the feeding is done otherwise.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/advice/plan_request.hpp"
#include "core/advice/ranking.hpp"
#include "core/basis/result.hpp"
#include "core/forecast/forecast.hpp"
#include "core/household/household.hpp"

namespace wheymark {

struct Feeding {
  Instant start;
  double grain_g;
  double milk_ml;
  PlaceId place;
  InstantSpread opens;
  InstantSpread closes;
  double chance;  // that the peak is open while somebody can strain
};

// A place that was not offered, and why: "its thermometer is silent".
struct PlaceLeftOut {
  PlaceId place;
  std::string why;
};

struct FeedingAdvice {
  JarId jar;
  CultureId culture;
  std::optional<Instant> ready_by;
  std::vector<Attended> attended;           // seen from the earliest start
  Instant earliest;                         // nothing can be fed before
  std::optional<JarId> grains_come_out_of;  // a batch that must be strained before
  double grain_g_there;
  double milk_c;
  Feeding usual;              // at the earliest start, with the usual amounts, in the usual place
  std::vector<Feeding> best;  // at most three, the first is the advice; clearly different
  std::vector<PlaceLeftOut> left_out;
  std::optional<std::string> doubt;  // about the usual place's air
  std::size_t batches_learned_from;
  std::size_t combinations;

  // Whether any of the best is more likely than not.
  [[nodiscard]] bool is_good() const { return is_any_good(best); }
};

// Refused with what stands in the way: a name that nobody knows, an hour that is past, amounts out
// of range, grains that rest, are not there or must be discarded, a jar that is full.
Result<FeedingAdvice> advise_feeding(const PlanRequest& request, const Household& household,
                                     Instant now);
// The same with the jar book as it will be with a fact that was accepted.
Result<FeedingAdvice> advise_feeding(const PlanRequest& request, const Household& household,
                                     const JarBook& book, Instant now);

}  // namespace wheymark
