// What an instance is asked: it answers from how things stand and changes nothing.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "plugin/library/instance.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/question.hpp"

namespace wheymark {

bool Instance::take_question(const nlohmann::json& asked, const std::optional<JarId>& implied_jar) {
  const auto text_at = [&](const char* key) -> std::optional<std::string> {
    const auto found = asked.find(key);
    return found != asked.end() && found->is_string() ? std::optional(found->get<std::string>())
                                                      : std::nullopt;
  };
  Answer out;
  out.fact = text_at("fact");
  out.ref = text_at("ref");
  const std::optional<JarId> jar = implied_jar ? implied_jar : text_at("jar");
  const auto refuse = [&](const std::string& why) {
    out.why = why;
    answer(out, jar);
    return false;
  };
  if (!clock_is_set_) return refuse("the clock here is not set yet; ask again once it is");
  if (!questions_.takes(now_)) {
    return refuse("more is asked at once than can be answered; ask again in a while");
  }
  const auto found = answer_question(asked, implied_jar, household_, now_);
  if (!found) return refuse(found.why());
  out.accepted = true;
  out.why = found.value().sentence;
  out.fields = found.value().fields;
  answer(out, jar);
  return true;
}

Result<std::string> Instance::answer_to(std::string_view question, Instant now) const {
  const auto asked = parsed(question, Comments::refused);
  if (!asked) return asked.refusal();
  if (!question_in(asked.value())) {
    return Refusal{"a question is an object whose \"fact\" is \"plan\" or \"explain\""};
  }
  const Instant as_of = std::max({now, now_, restored_until_});
  const auto found = answer_question(asked.value(), std::nullopt, household_, as_of);
  if (!found) return found.refusal();
  nlohmann::json answer = nlohmann::json::parse(found.value().fields);
  answer["why"] = found.value().sentence;
  return text_of(answer);
}

}  // namespace wheymark
