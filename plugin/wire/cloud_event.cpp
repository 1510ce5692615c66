#include "plugin/wire/cloud_event.hpp"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

// Numbers carry three decimals: more would promise what no kitchen can measure.
json json_of_value(double value) {
  if (!std::isfinite(value)) return nullptr;
  return std::round(value * 1000.0) / 1000.0;
}
json json_of_value(Instant value) {
  return rfc3339(std::chrono::round<std::chrono::seconds>(value));
}
json json_of_value(const std::string& value) {
  return value;
}

}  // namespace

OutboxMessage outbox_message_of(const Announcement& announcement, const std::string& prefix,
                                const std::string& root_device, const std::string& sequence) {
  json data = {{"text", announcement.text}};
  if (announcement.caution) data["caution"] = *announcement.caution;
  for (const Detail& detail : announcement.details) {
    data[detail.name] =
        std::visit([](const auto& value) { return json_of_value(value); }, detail.value);
  }
  const std::string kind(word(announcement.kind));
  const json event = {{"specversion", "1.0"},
                      {"id", announcement.id},
                      {"source", "/" + root_device},
                      {"type", "wheymark." + kind},
                      {"subject", announcement.subject},
                      {"time", rfc3339(announcement.time)},
                      {"sequence", sequence},
                      {"datacontenttype", "application/json"},
                      {"data", std::move(data)}};
  OutboxMessage message;
  message.topic = fmt::format("{}/events/{}/{}", prefix, announcement.subject, kind);
  message.payload = text_of(event);
  message.content_type = "application/cloudevents+json; charset=utf-8";
  return message;
}

}  // namespace wheymark
