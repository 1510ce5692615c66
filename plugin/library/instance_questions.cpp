// What an instance is asked: it answers from how things stand and changes nothing.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "plugin/library/instance.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/wish_json.hpp"

namespace wheymark {

bool Instance::take_question(const nlohmann::json& json, const std::optional<JarId>& implied_jar) {
  Answer out;
  out.fact = std::string(plan_word);
  if (json.contains("ref") && json["ref"].is_string()) out.ref = json["ref"].get<std::string>();
  const auto asked = asked_plan_from(json, implied_jar);
  std::optional<JarId> jar = implied_jar;
  if (asked) jar = asked.value().wish.jar;
  const auto refuse = [&](const std::string& why) {
    out.why = why;
    answer(out, jar);
    return false;
  };
  if (!asked) return refuse(asked.why());
  if (!clock_is_set_) return refuse("the clock here is not set yet; ask again once it is");
  const auto advice = answered(asked.value().wish, household_, now_);
  if (!advice) return refuse(advice.why());
  out.accepted = true;
  out.why = advice.value().sentence;
  out.fields = text_of(advice.value().fields);
  answer(out, jar);
  return true;
}

}  // namespace wheymark
