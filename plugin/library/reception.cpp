#include "plugin/library/reception.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <utility>

#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/press.hpp"

namespace wheymark {
namespace {

// The jar that a fact is about; nothing for a fact about a culture or about another fact.
std::optional<JarId> jar_of(const Fact& fact) {
  return std::visit(
      [](const auto& kind) -> std::optional<JarId> {
        if constexpr (requires { kind.jar; }) return kind.jar;  // an inspection's may be missing
        return std::nullopt;
      },
      fact);
}

// A text in a message that may be no object, and may have none.
std::optional<std::string> text_in(const nlohmann::json& message, const char* key) {
  if (!message.is_object() || !message.contains(key)) return std::nullopt;
  const nlohmann::json& value = message[key];
  return value.is_string() ? std::optional(value.get<std::string>()) : std::nullopt;
}

// The jar that a message names, which may be none of ours.
std::optional<JarId> jar_in(const nlohmann::json& message) {
  const auto named = text_in(message, "jar");
  return named ? std::optional(JarId(*named)) : std::nullopt;
}

}  // namespace

Reception::Reception(const std::string& prefix, const HomieHousehold& homie, Reports& reports,
                     Questions& questions, Outbox& outbox, Publisher& publisher)
    : homie_(homie),
      reports_(reports),
      questions_(questions),
      outbox_(outbox),
      publisher_(publisher),
      prefix_(prefix),
      say_topic_(prefix + "/say") {}

void Reception::subscribe(const Host& host) const {
  host.subscribe(say_topic_, 1);
  host.subscribe(homie_.set_filter(), 1);
}

void Reception::receive(std::string_view topic, std::string_view payload, const HostTime& time) {
  if (topic == say_topic_) {
    receive_text(payload, std::nullopt, time);
  } else if (const auto set = homie_.set_topic(topic)) {
    receive_set(*set, payload, time);
  }
}

bool Reception::receive_text(std::string_view payload, const std::optional<JarId>& implied_jar,
                             const HostTime& time) {
  Answer out;
  const auto json = parsed(payload, Comments::refused);
  if (!json) {
    out.why = json.why();
    tell(out, implied_jar, time);
    return false;
  }
  const nlohmann::json& message = json.value();
  out.ref = text_in(message, "ref");
  out.fact = text_in(message, "fact");
  if (question_in(message)) return receive_question(message, implied_jar, std::move(out), time);
  const auto said = report_from(message, implied_jar);
  if (said) return receive_report(said.value(), time);
  out.why = said.why();
  tell(out, implied_jar ? implied_jar : jar_in(message), time);
  return false;
}

bool Reception::receive_question(const nlohmann::json& asked,
                                 const std::optional<JarId>& implied_jar, Answer answer,
                                 const HostTime& time) {
  const auto found = questions_.answer(asked, implied_jar, time);
  answer.accepted = found.ok();
  answer.why = found ? found.value().sentence : found.why();
  if (found) answer.fields = found.value().fields;
  tell(answer, implied_jar ? implied_jar : jar_in(asked), time);
  return answer.accepted;
}

bool Reception::receive_report(const Report& said, const HostTime& time) {
  const std::optional<JarId> jar = jar_of(said.fact);
  const auto [answer, is_on_its_way] = reports_.receive(said, time);
  is_on_its_way ? show(answer, jar, time) : tell(answer, jar, time);
  return answer.accepted;
}

void Reception::receive_set(const HomieHousehold::SetTopic& set, std::string_view payload,
                            const HostTime& time) {
  if (set.property == "say") {
    if (receive_text(payload, set.jar, time)) publisher_.confirm(set, payload);
  } else if (const auto fact = pressed(set.property, set.jar, payload)) {
    const Report press{*fact, std::nullopt, ref_of_press(set.jar, payload, time.now)};
    if (receive_report(press, time)) publisher_.confirm(set, payload);
  } else {
    Answer refusal;
    refusal.fact = set.property;
    refusal.why = fmt::format("care/{} does not take {}; {}", set.property, shown_text(payload),
                              what_care_takes(set.property));
    tell(refusal, set.jar, time);
  }
}

void Reception::tell(const Answer& answer, const std::optional<JarId>& jar, const HostTime& time) {
  outbox_.send_unkept(outbox_message_of(answer, prefix_));
  show(answer, jar, time);
}

void Reception::show(const Answer& answer, const std::optional<JarId>& jar, const HostTime& time) {
  // The sentence shown begins with its time.
  if (time.is_set) publisher_.show(answer, jar, time.now);
}

}  // namespace wheymark
