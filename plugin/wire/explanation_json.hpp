// Why we believe what we believe of a jar, as JSON: {"fact":"explain","jar":"blue"} asks for it.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>

#include "core/basis/result.hpp"
#include "core/household/household.hpp"
#include "plugin/wire/question.hpp"

namespace wheymark {

Result<JarId> jar_to_explain(const nlohmann::json& asked, const std::optional<JarId>& implied_jar);

Result<Answered> explained(const JarId& jar, const Household& household, Instant now);

}  // namespace wheymark
