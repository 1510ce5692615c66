// What people say to an instance, and what they are answered.
#include <fmt/format.h>

#include "core/record/doubtful_report.hpp"
#include "plugin/library/instance.hpp"
#include "plugin/library/journal_row.hpp"
#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/press.hpp"
#include "plugin/wire/question.hpp"

namespace wheymark {
namespace {

// The jar that a fact is about; nothing for a fact about a culture or about another fact.
std::optional<JarId> jar_of(const Fact& fact) {
  return std::visit(
      [](const auto& kind) -> std::optional<JarId> {
        if constexpr (requires { kind.jar; }) return kind.jar;
        return std::nullopt;
      },
      fact);
}

constexpr const char* too_much = "more is said at once than can be kept; say it again in a while";
constexpr const char* not_kept = "it could not be kept, so it does not count; say it again: ";

}  // namespace

bool Instance::take_say(std::string_view payload, const std::optional<JarId>& implied_jar) {
  Answer refusal;
  const auto json = parsed(payload, Comments::refused);
  if (!json) {
    refusal.why = json.why();
    answer(refusal, implied_jar);
    return false;
  }
  const auto text_at = [&](const char* key) -> std::optional<std::string> {
    if (!json.value().is_object() || !json.value().contains(key)) return std::nullopt;
    const nlohmann::json& value = json.value()[key];
    return value.is_string() ? std::optional(value.get<std::string>()) : std::nullopt;
  };
  if (question_in(json.value())) return take_question(json.value(), implied_jar);
  const auto said = report_from(json.value(), implied_jar);
  if (said) return take_said(said.value());
  refusal.ref = text_at("ref");
  refusal.fact = text_at("fact");
  refusal.why = said.why();
  answer(refusal, implied_jar ? implied_jar : text_at("jar"));
  return false;
}

void Instance::take_set(const HomieHousehold::SetTopic& set, std::string_view payload) {
  const std::string device = HomieHousehold::device_of_jar(set.jar);
  const auto said = [&]() -> std::optional<bool> {
    if (set.property == "say") return take_say(payload, set.jar);
    if (const auto fact = pressed(set.property, set.jar, payload)) {
      return take_said({*fact, std::nullopt, ref_of_press(set.jar, payload, now_)});
    }
    return std::nullopt;
  }();
  if (said == true) {
    // The convention's sign of success. Not retained: a press has no value afterwards.
    host_.publish({homie_.topic(device, "care/" + set.property), payload, {}, 0, false, 0});
  }
  if (said) return;
  Answer refusal;
  refusal.fact = set.property;
  refusal.why = fmt::format("care/{} does not take {}; {}", set.property, shown_text(payload),
                            what_care_takes(set.property));
  answer(refusal, set.jar);
}

bool Instance::take_said(const Report& said) {
  const std::optional<JarId> jar = jar_of(said.fact);
  Answer out;
  out.ref = said.ref;
  out.fact = std::string(fact_words[said.fact.index()]);
  const auto refuse = [&](const std::string& why) {
    out.accepted = false;
    out.id.reset();
    out.why = why;
    answer(out, jar);
    return false;
  };
  if (!clock_is_set_) return refuse("the clock here is not set yet; say it again once it is");
  // An event that waits for the disk is told before a fact ends what it is about.
  retry_at_.reset();
  if (const Outcome told = announce_what_is_due(); !told) return refuse(not_kept + told.why());
  const auto decided = household_.decide(said, now_);
  if (!decided) return refuse(decided.why());
  const Household::Accepted& accepted = decided.value();
  out.accepted = true;
  out.id = accepted.record.number;
  if (accepted.reported_before) {
    out.fact = std::string(fact_words[accepted.record.fact.index()]);
    out.why = "this ref was said before; it counts once";
    answer(out, jar);
    return true;
  }
  if (!facts_.takes(now_)) return refuse(too_much);
  out.why = contradiction(accepted.record.fact, accepted.record.at, household_.book(),
                          household_.setup());
  const Entry entry{accepted.record};
  // The answer goes out with the fact or not at all.
  const Outcome kept =
      record({row_of(entry)}, {outbox_message_of(out, configuration_.prefix)}, Durable::at_once);
  if (!kept) return refuse(not_kept + kept.why());
  household_.apply(entry);
  show(out, jar);
  return true;
}

void Instance::answer(const Answer& out, const std::optional<JarId>& jar) {
  outbox_.send_unkept(outbox_message_of(out, configuration_.prefix));
  show(out, jar);
}

}  // namespace wheymark
