#include "plugin/wire/question.hpp"

#include <nlohmann/json.hpp>

#include "plugin/wire/explanation_json.hpp"
#include "plugin/wire/plan_request_json.hpp"

namespace wheymark {

std::optional<QuestionKind> question_in(const nlohmann::json& said) {
  if (!said.is_object()) return std::nullopt;
  const auto fact = said.find("fact");
  if (fact == said.end() || !fact->is_string()) return std::nullopt;
  return meaning_of<QuestionKind>(fact->get_ref<const std::string&>());
}

Result<Answered> answer_question(const nlohmann::json& asked,
                                 const std::optional<JarId>& implied_jar,
                                 const Household& household, Instant now) {
  if (question_in(asked) == QuestionKind::explain) {
    const auto jar = jar_to_explain(asked, implied_jar);
    return jar ? explained(jar.value(), household, now) : Result<Answered>(jar.refusal());
  }
  const auto request = plan_request_from(asked, implied_jar);
  return request ? answered(request.value(), household, now) : Result<Answered>(request.refusal());
}

}  // namespace wheymark
