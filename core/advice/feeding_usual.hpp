// Which jar, which grains, how much, how soon: a plan request with nothing left out.
//
// What is left out is as usual: as the jar's setup says, else as in the last batch of these grains.
// Grains that are in a jar come out when its peak has likely opened, and nobody feeds before.
#pragma once

#include <optional>

#include "core/advice/plan_request.hpp"
#include "core/basis/result.hpp"
#include "core/household/household.hpp"

namespace wheymark {

struct FeedingUsual {
  Start usual;       // complete
  Instant earliest;  // somebody is awake then
  std::optional<JarId> grains_come_out_of;
  double grain_g_there;  // at the earliest start, out of jars
};

// The jar that a plan request is about: the one it names, else the one that its culture is usually
// in, else the only one that has a culture.
Result<const JarSetup*> jar_requested(const PlanRequest& request, const Household& household);

// `book` is the household's, or what it will be with a fact that was accepted.
Result<FeedingUsual> feeding_usual(const PlanRequest& request, const Household& household,
                                   const JarBook& book, Instant now);

}  // namespace wheymark
