// Which topics does a subscription cover?
#pragma once

#include <string_view>

namespace wheymark {

// Whether a subscription to `filter` covers `topic` (MQTT 5, section 4.7).
[[nodiscard]] inline bool covers(std::string_view filter, std::string_view topic) {
  for (;;) {
    const std::string_view asked = filter.substr(0, filter.find('/'));
    if (asked == "#") return true;
    const std::string_view level = topic.substr(0, topic.find('/'));
    if (asked != "+" && asked != level) return false;
    const bool filter_ends = asked.size() == filter.size();
    const bool topic_ends = level.size() == topic.size();
    if (filter_ends || topic_ends) {
      return (filter_ends && topic_ends) || (topic_ends && filter.substr(asked.size()) == "/#");
    }
    filter.remove_prefix(asked.size() + 1);
    topic.remove_prefix(level.size() + 1);
  }
}

}  // namespace wheymark
