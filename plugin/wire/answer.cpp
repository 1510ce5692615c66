#include "plugin/wire/answer.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "core/record/local_time.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/question.hpp"

namespace wheymark {
namespace {

template <class Value>
nlohmann::json or_null(const std::optional<Value>& value) {
  return value ? nlohmann::json(*value) : nlohmann::json(nullptr);
}

// What was sent may be anything; only our own words stand without quotes.
std::string word_or_shown(const std::string& fact) {
  const bool ours = meaning_of<QuestionKind>(fact) ||
                    std::find(fact_words.begin(), fact_words.end(), fact) != fact_words.end();
  return ours ? fact : shown_text(fact);
}

}  // namespace

OutboxMessage outbox_message_of(const Answer& answer, const std::string& prefix) {
  const auto id = answer.id ? std::optional("fact-" + std::to_string(*answer.id)) : std::nullopt;
  nlohmann::json body = {{"ref", or_null(answer.ref)},
                         {"fact", or_null(answer.fact)},
                         {"accepted", answer.accepted},
                         {"why", answer.why},
                         {"id", or_null(id)}};
  if (!answer.fields.empty()) body.update(nlohmann::json::parse(answer.fields));
  OutboxMessage message;
  message.topic = prefix + "/answer";
  message.payload = text_of(body);
  message.content_type = "application/json";
  return message;
}

std::string sentence_of(const Answer& answer, Instant now, const HouseholdSetup& setup) {
  const std::string when = day_and_clock_text(now, setup);
  const std::string what = answer.fact ? word_or_shown(*answer.fact) : "a message";
  if (!answer.accepted) return fmt::format("{}: {} was refused: {}", when, what, answer.why);
  if (!answer.id) return fmt::format("{}: {}", when, answer.why);
  if (answer.why.empty()) return fmt::format("{}: {} is noted.", when, what);
  return fmt::format("{}: {} is noted; {}.", when, what, answer.why);
}

}  // namespace wheymark
