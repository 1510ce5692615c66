#include "plugin/wire/answer.hpp"

#include <nlohmann/json.hpp>

#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

template <class Value>
nlohmann::json or_null(const std::optional<Value>& value) {
  return value ? nlohmann::json(*value) : nlohmann::json(nullptr);
}

}  // namespace

Parcel parcel_of(const Answer& answer, const std::string& prefix) {
  const auto id = answer.id ? std::optional("fact-" + std::to_string(*answer.id)) : std::nullopt;
  const nlohmann::json body = {{"ref", or_null(answer.ref)},
                               {"fact", or_null(answer.fact)},
                               {"accepted", answer.accepted},
                               {"why", answer.why},
                               {"id", or_null(id)}};
  Parcel parcel;
  parcel.topic = prefix + "/answer";
  parcel.payload = text_of(body);
  parcel.content_type = "application/json";
  return parcel;
}

}  // namespace wheymark
