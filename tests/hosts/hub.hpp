// A hub as a test writes one: it loads libwheymark.so itself, knows nothing of it but the header,
// and writes down what it is told.
#pragma once

#include <algorithm>
#include <cstdint>
#include <dlfcn.h>
#include <gtest/gtest.h>
#include <stdexcept>
#include <string>
#include <utility>

#include "tests/hosts/counted_memory.hpp"
#include "tests/vocabulary/recording_host.hpp"

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

class Hub : public RecordingHost {
 public:
  explicit Hub(const Library& library) : library_(library) {
    table.publish = [](void* self, const wheymark_message* message) {
      const EnoughMemory enough;
      return static_cast<Hub&>(of(self)).publish(*message);
    };
    table.subscribe = [](void* self, wheymark_text filter, std::uint8_t) {
      const EnoughMemory enough;
      of(self).subscribed.push_back(string_of(filter));
      return 0;
    };
    table.log = [](void* self, wheymark_level, wheymark_text line) {
      const EnoughMemory enough;
      of(self).log.push_back(string_of(line));
    };
    settings.struct_size = sizeof settings;
    settings.store = text_of(":memory:");
  }
  ~Hub() { close(); }

  wheymark_status open(const std::string& configuration) {
    configuration_ = configuration;
    settings.configuration = text_of(configuration_);
    return library_->open(&table, &settings, &instance);
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
    while (!owed.empty()) {
      for (const std::uint64_t delivery : std::exchange(owed, {})) {
        library_->delivered(instance, delivery, at(minute));
      }
    }
  }

  [[nodiscard]] const Library& library() const { return library_; }

  wheymark_settings settings{};
  wheymark_instance* instance = nullptr;

 private:
  const Library& library_;
  std::string configuration_;
};

}  // namespace wheymark::test
