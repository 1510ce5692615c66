#include "plugin/library/questions.hpp"

#include <nlohmann/json.hpp>

#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

constexpr double questions_at_once = 60.0;
constexpr double questions_per_h = 360.0;

}  // namespace

Questions::Questions(const Household& household)
    : household_(household), allowance_(questions_at_once, questions_per_h) {}

Result<Answered> Questions::answer(const nlohmann::json& asked,
                                   const std::optional<JarId>& implied_jar, const HostTime& time) {
  if (!time.is_set) return Refusal{"the clock here is not set yet; ask again once it is"};
  if (!allowance_.allows(time.now)) {
    return Refusal{"more is asked at once than can be answered; ask again in a while"};
  }
  return answer_question(asked, implied_jar, household_, time.now);
}

Result<std::string> Questions::answer(std::string_view question, Instant as_of) const {
  const auto asked = parsed(question, Comments::refused);
  if (!asked) return asked.refusal();
  if (!question_in(asked.value())) {
    return Refusal{"a question is an object whose \"fact\" is \"plan\" or \"explain\""};
  }
  const auto found = answer_question(asked.value(), std::nullopt, household_, as_of);
  if (!found) return found.refusal();
  nlohmann::json answer = nlohmann::json::parse(found.value().fields);
  answer["why"] = found.value().sentence;
  return text_of(answer);
}

}  // namespace wheymark
