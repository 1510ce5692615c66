// A hub as a test writes one: it loads libwheymark.so itself, knows nothing of it but the header,
// and writes down what it is told.
#pragma once

#include <algorithm>
#include <cstdint>
#include <dlfcn.h>
#include <gtest/gtest.h>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "plugin/wheymark.h"
#include "tests/hosts/counted_memory.hpp"

namespace wheymark::test {

// The library, loaded as long as this lives.
class Library {
 public:
  Library() : handle_(dlopen(WHEYMARK_LIBRARY, RTLD_NOW | RTLD_LOCAL)) {
    if (handle_ == nullptr) throw std::runtime_error(dlerror());
    using Entry = const wheymark_plugin* (*)();
    const auto entry = reinterpret_cast<Entry>(dlsym(handle_, "wheymark_plugin_v1"));
    if (entry == nullptr) throw std::runtime_error(dlerror());
    table_ = entry();
  }
  ~Library() { dlclose(handle_); }
  Library(const Library&) = delete;
  Library& operator=(const Library&) = delete;

  const wheymark_plugin* operator->() const { return table_; }

 private:
  void* handle_;
  const wheymark_plugin* table_ = nullptr;
};

inline wheymark_text text_of(std::string_view text) {
  return {text.data(), text.size()};
}
inline std::string string_of(wheymark_text text) {
  return text.length == 0 ? std::string() : std::string(text.bytes, text.length);
}

// 2027-03-01T08:00:00Z and so many minutes.
inline std::int64_t at(double minutes) {
  return 1'803'888'000'000 + static_cast<std::int64_t>(minutes * 60'000.0);
}

inline std::string household_called(const std::string& name) {
  return R"({ "home": { "name": "Test house" },
    "broker": { "url": "mqtt://broker.invalid:1883", "password_file": "secret" },
    "wire": { "prefix": ")" +
         name + R"(", "root_device": ")" + name + R"(" },
    "places": [
      { "id": "kitchen", "kind": "room", "thermometer": { "topic": "house/kitchen" } },
      { "id": "fridge", "kind": "fridge" } ],
    "cultures": [ { "id": "tilly", "grain_g": 20 } ],
    "jars": [
      { "id": "blue", "capacity_ml": 1250, "place": "kitchen", "culture": "tilly",
        "milk": "cow-whole", "milk_ml": 950, "grain_g": 20 },
      { "id": "bottle", "capacity_ml": 1000, "place": "fridge" } ] })";
}

class Hub {
 public:
  struct Heard {
    std::string topic;
    std::string payload;
    std::uint64_t delivery = 0;
  };

  explicit Hub(const Library& library) : library_(library) {
    host.struct_size = sizeof host;
    host.context = this;
    host.publish = [](void* self, const wheymark_message* message) {
      const EnoughMemory enough;
      return static_cast<Hub*>(self)->publish(*message);
    };
    host.subscribe = [](void* self, wheymark_text filter, std::uint8_t) {
      const EnoughMemory enough;
      static_cast<Hub*>(self)->filters.push_back(string_of(filter));
      return 0;
    };
    host.log = [](void* self, wheymark_level level, wheymark_text line) {
      const EnoughMemory enough;
      static_cast<Hub*>(self)->lines.emplace_back(level, string_of(line));
    };
    settings.struct_size = sizeof settings;
    settings.store = text_of(":memory:");
  }
  ~Hub() { close(); }
  Hub(const Hub&) = delete;
  Hub& operator=(const Hub&) = delete;

  wheymark_status open(const std::string& configuration) {
    configuration_ = configuration;
    settings.configuration = text_of(configuration_);
    return library_->open(&host, &settings, &instance);
  }
  void close() {
    library_->close(instance);
    instance = nullptr;
  }

  // The broker answers at once.
  wheymark_status connect(double minute) {
    const wheymark_status status = library_->connected(instance, at(minute));
    return status == WHEYMARK_OK ? library_->subscribed(instance, at(minute)) : status;
  }

  wheymark_status say(const std::string& topic, const std::string& payload, double minute) {
    wheymark_message message{};
    message.struct_size = sizeof message;
    message.qos = 1;
    message.topic = text_of(topic);
    message.payload = text_of(payload);
    const wheymark_status status = library_->message(instance, &message, at(minute));
    acknowledge(minute);
    return status;
  }

  // A kitchen of so many degrees, read every ten minutes, and every timer at its instant.
  wheymark_status live(double from_minute, double to_minute, const std::string& celsius) {
    for (double minute = from_minute; minute < to_minute; minute += 10) {
      while (library_->next_tick_ms(instance) <= at(minute)) {
        const std::int64_t due = library_->next_tick_ms(instance);
        const wheymark_status status = library_->tick(instance, std::max(due, at(0)));
        if (status != WHEYMARK_OK) return status;
        acknowledge(minute);
        if (library_->next_tick_ms(instance) <= due) return WHEYMARK_FROZEN;  // it would never end
      }
      const wheymark_status status = say("house/kitchen", celsius, minute);
      if (status != WHEYMARK_OK) return status;
    }
    return WHEYMARK_OK;
  }

  void acknowledge(double minute) {
    for (; acknowledged_ < heard.size(); ++acknowledged_) {
      const std::uint64_t delivery = heard[acknowledged_].delivery;
      if (delivery != 0 && acknowledges) library_->delivered(instance, delivery, at(minute));
    }
  }

  // The last that was said on a topic; nothing was: "(nothing)".
  [[nodiscard]] std::string last(const std::string& topic) const {
    const auto found = std::find_if(heard.rbegin(), heard.rend(),
                                    [&](const Heard& one) { return one.topic == topic; });
    return found == heard.rend() ? "(nothing)" : found->payload;
  }
  [[nodiscard]] std::ptrdiff_t count(const std::string& topic) const {
    return std::count_if(heard.begin(), heard.end(),
                         [&](const Heard& one) { return one.topic == topic; });
  }
  [[nodiscard]] std::string log() const {
    std::string all;
    for (const auto& [level, line] : lines) all += std::to_string(level) + " " + line + "\n";
    return all;
  }

  [[nodiscard]] const Library& library() const { return library_; }

  wheymark_host host{};
  wheymark_settings settings{};
  wheymark_instance* instance = nullptr;
  bool acknowledges = true;

  std::vector<Heard> heard;
  std::vector<std::string> filters;
  std::vector<std::pair<wheymark_level, std::string>> lines;

 private:
  int publish(const wheymark_message& message) {
    heard.push_back({string_of(message.topic), string_of(message.payload), message.delivery});
    return 0;
  }

  const Library& library_;
  std::string configuration_;
  std::size_t acknowledged_ = 0;
};

}  // namespace wheymark::test
