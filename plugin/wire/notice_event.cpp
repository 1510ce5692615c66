#include "plugin/wire/notice_event.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

std::string to_seconds(Instant instant) {
  return rfc3339(std::chrono::round<std::chrono::seconds>(instant));
}

json json_of(const std::vector<NoticeStep>& steps) {
  json list = json::array();
  for (const NoticeStep& step : steps) {
    list.push_back({{"at", to_seconds(step.at)}, {"text", step.text}, {"say", json_of(step.say)}});
  }
  return list;
}

}  // namespace

OutboxMessage outbox_message_of(const Notice& notice, const std::string& prefix,
                                const std::string& root_device, const std::string& sequence) {
  json jars = json::array();
  for (const JarId& jar : notice.jars) jars.push_back(jar.text());
  json data = {{"text", notice.text}, {"urgency", word(notice.urgency)}, {"jars", jars}};
  if (notice.caution) data["caution"] = *notice.caution;
  if (notice.until) data["until"] = to_seconds(*notice.until);
  if (notice.replaces) data["replaces"] = *notice.replaces;
  data["steps"] = json_of(notice.steps);
  const std::string kind(word(notice.kind));
  json event = {{"specversion", "1.0"},
                {"id", notice.id},
                {"source", "/" + root_device},
                {"type", "wheymark.notice." + kind},
                {"time", rfc3339(notice.time)},
                {"sequence", sequence},
                {"datacontenttype", "application/json"},
                {"data", std::move(data)}};
  if (notice.jars.size() == 1) event["subject"] = "jar-" + notice.jars.front().text();
  OutboxMessage message;
  message.topic = fmt::format("{}/notices/{}", prefix, kind);
  message.payload = text_of(event);
  message.content_type = "application/cloudevents+json; charset=utf-8";
  return message;
}

std::string steps_text(const std::vector<NoticeStep>& steps) {
  return steps.empty() ? "" : text_of(json{{"steps", json_of(steps)}});
}

}  // namespace wheymark
