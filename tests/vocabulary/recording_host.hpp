// A host that writes down what the library gives it, as a broker would keep it. It knows nothing of
// the library but the header.
#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "tests/vocabulary/published.hpp"

namespace wheymark::test {

class RecordingHost {
 public:
  RecordingHost() {
    table.struct_size = sizeof table;
    table.context = this;
    table.publish = [](void* self, const wheymark_message* message) {
      return of(self).publish(*message);
    };
    table.subscribe = [](void* self, wheymark_text filter, std::uint8_t) {
      of(self).subscribed.push_back(string_of(filter));
      return 0;
    };
    table.log = [](void* self, wheymark_level, wheymark_text line) {
      of(self).log.push_back(string_of(line));
    };
  }
  RecordingHost(const RecordingHost&) = delete;
  RecordingHost& operator=(const RecordingHost&) = delete;

  wheymark_host table{};

  std::vector<Published> published;
  std::map<std::string, std::string> retained;  // as a broker keeps it
  std::vector<std::uint64_t> owed;              // deliveries that it has and has not acknowledged
  std::vector<std::string> subscribed;
  std::vector<std::string> log;
  bool refuses = false;  // no room
  std::function<void()> before_publishing = [] {};

  // The payloads of one topic, in order.
  [[nodiscard]] std::vector<std::string> on(const std::string& topic) const {
    std::vector<std::string> payloads;
    for (const Published& message : published) {
      if (message.topic == topic) payloads.push_back(message.payload);
    }
    return payloads;
  }
  [[nodiscard]] std::string last_on(const std::string& topic) const {
    const std::vector<std::string> payloads = on(topic);
    return payloads.empty() ? "nothing was published on " + topic : payloads.back();
  }
  // The index of the first message that fits; the number of all if none does.
  [[nodiscard]] std::size_t place_of(const std::function<bool(const Published&)>& fits,
                                     std::size_t from = 0) const {
    const auto begin = published.begin() + static_cast<std::ptrdiff_t>(from);
    return static_cast<std::size_t>(std::find_if(begin, published.end(), fits) - published.begin());
  }
  [[nodiscard]] std::size_t place_of(const std::string& topic, const std::string& payload,
                                     std::size_t from = 0) const {
    return place_of([&](const Published& m) { return m.topic == topic && m.payload == payload; },
                    from);
  }
  [[nodiscard]] std::vector<std::string> retained_below(const std::string& root) const {
    std::vector<std::string> topics;
    for (const auto& [topic, payload] : retained) {
      if (topic.starts_with(root)) topics.push_back(topic);
    }
    return topics;
  }

 protected:
  static RecordingHost& of(void* self) { return *static_cast<RecordingHost*>(self); }

  int publish(const wheymark_message& message) {
    before_publishing();
    if (refuses) return 1;
    published.push_back(published_of(message));
    const Published& last = published.back();
    if (last.retain && last.payload.empty()) retained.erase(last.topic);
    if (last.retain && !last.payload.empty()) retained[last.topic] = last.payload;
    if (last.delivery != 0) owed.push_back(last.delivery);
    return 0;
  }
};

}  // namespace wheymark::test
