// A question about what to do, as JSON, and its answer.
//
// {"fact":"plan","jar":"blue","ready_by":"2027-03-02T07:00:00Z","vary":["milk","start"]}: said like
// a fact and answered like one, but it is none: nothing is kept, nothing changes, and asked again
// it is answered anew.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "core/basis/result.hpp"
#include "core/household/household.hpp"
#include "core/household/wish.hpp"

namespace wheymark {

inline constexpr std::string_view plan_word = "plan";

// Whether it says "fact": "plan".
bool is_plan(const nlohmann::json& said);

struct AskedPlan {
  Wish wish;
  std::optional<std::string> ref;
};

// Refused with one sentence that names the field, what was found and what is allowed.
Result<AskedPlan> asked_plan_from(const nlohmann::json& said,
                                  const std::optional<JarId>& implied_jar);

// What is answered: the sentence, and the ranked options with what they rest on.
struct AnsweredPlan {
  std::string sentence;
  nlohmann::json fields;  // an object
};

Result<AnsweredPlan> answered(const Wish& wish, const Household& household, Instant now);

}  // namespace wheymark
