#include "plugin/wire/question.hpp"

#include <nlohmann/json.hpp>

#include "plugin/wire/explanation_json.hpp"
#include "plugin/wire/plan_request_json.hpp"

namespace wheymark {
namespace {

constexpr std::string_view plan_word = "plan";
constexpr std::string_view explain_word = "explain";

}  // namespace

bool is_question_word(std::string_view word) {
  return word == plan_word || word == explain_word;
}

bool is_question(const nlohmann::json& said) {
  if (!said.is_object()) return false;
  const auto fact = said.find("fact");
  return fact != said.end() && fact->is_string() &&
         is_question_word(fact->get_ref<const std::string&>());
}

Result<Answered> answer_question(const nlohmann::json& asked,
                                 const std::optional<JarId>& implied_jar,
                                 const Household& household, Instant now) {
  if (asked["fact"] == explain_word) {
    const auto jar = jar_to_explain(asked, implied_jar);
    return jar ? explained(jar.value(), household, now) : Result<Answered>(jar.refusal());
  }
  const auto request = plan_request_from(asked, implied_jar);
  return request ? answered(request.value(), household, now) : Result<Answered>(request.refusal());
}

}  // namespace wheymark
