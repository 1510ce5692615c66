// A question about what to do, as JSON, and its answer.
//
// {"fact":"plan","jar":"blue","ready_by":"2027-03-02T07:00:00Z","vary":["milk","start"]}: sent like
// a fact and answered like one, but it is none: nothing is kept, nothing changes, and asked again
// it is answered anew.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "core/advice/plan_request.hpp"
#include "core/basis/result.hpp"
#include "core/household/household.hpp"
#include "plugin/wire/question.hpp"

namespace wheymark {

// Refused with one sentence that names the field, what was found and what is allowed.
Result<PlanRequest> plan_request_from(const nlohmann::json& asked,
                                      const std::optional<JarId>& implied_jar);

// The sentence, and the ranked options with what they rest on.
Result<Answered> answered(const PlanRequest& request, const Household& household, Instant now);

}  // namespace wheymark
