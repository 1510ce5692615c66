// The library as a host sees it: the C table and nothing else.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

#include "plugin/wheymark.h"
#include "tests/vocabulary/published.hpp"

namespace wheymark::faults {

using Message = test::Published;

// What a world must do for the library.
struct HostCalls {
  std::function<bool(Message)> publish;
  std::function<void(std::string)> subscribe;
  std::function<void(wheymark_level, std::string)> log;
};

class Frozen : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

class Plugin {
 public:
  Plugin(HostCalls calls, const std::string& configuration, const std::string& store)
      : calls_(std::move(calls)) {
    wheymark_host host{};
    host.struct_size = sizeof host;
    host.context = this;
    host.publish = [](void* self, const wheymark_message* m) {
      return of(self).publish(test::published_of(*m)) ? 0 : 1;
    };
    host.subscribe = [](void* self, wheymark_text filter, std::uint8_t) {
      of(self).subscribe(test::string_of(filter));
      return 0;
    };
    host.log = [](void* self, wheymark_level level, wheymark_text line) {
      of(self).log(level, test::string_of(line));
    };
    wheymark_settings settings{};
    settings.struct_size = sizeof settings;
    settings.configuration = test::text_of(configuration);
    settings.store = test::text_of(store);
    status_ = table().open(&host, &settings, &instance_);
  }
  ~Plugin() { table().close(instance_); }
  Plugin(const Plugin&) = delete;
  Plugin& operator=(const Plugin&) = delete;

  [[nodiscard]] bool opened() const { return status_ == WHEYMARK_OK; }

  void connected(std::int64_t now) { good(table().connected(instance_, now)); }
  void subscribed(std::int64_t now) { good(table().subscribed(instance_, now)); }
  void disconnected(std::int64_t now) { good(table().disconnected(instance_, now)); }
  void tick(std::int64_t now) { good(table().tick(instance_, now)); }
  void delivered(std::uint64_t delivery, std::int64_t now) {
    good(table().delivered(instance_, delivery, now));
  }
  void stop(std::int64_t now) { good(table().stop(instance_, now)); }
  [[nodiscard]] std::int64_t next_tick() const { return table().next_tick_ms(instance_); }
  void hears(std::string_view topic, std::string_view payload, bool retained, std::int64_t now) {
    wheymark_message m{};
    m.struct_size = sizeof m;
    m.qos = 1;
    m.retain = retained ? 1 : 0;
    m.topic = test::text_of(topic);
    m.payload = test::text_of(payload);
    good(table().message(instance_, &m, now));
  }

  // Pages and tiles, and exports of the past.
  [[nodiscard]] std::string rendered(std::string_view path, std::int64_t now) {
    wheymark_document document{};
    document.struct_size = sizeof document;
    good(table().render(instance_, test::text_of(path), now, &document));
    return test::string_of(document.body);
  }
  // The answer to a question, or nothing where it is refused.
  [[nodiscard]] std::optional<std::string> asked(std::string_view question, std::int64_t now) {
    std::string all;
    const wheymark_status status = table().ask(
        instance_, test::text_of(question), now, &all, [](void* into, wheymark_text piece) {
          static_cast<std::string*>(into)->append(piece.bytes, piece.length);
        });
    if (status == WHEYMARK_FROZEN) throw Frozen("the library froze");
    return status == WHEYMARK_OK ? std::optional(all) : std::nullopt;
  }
  [[nodiscard]] std::string exported(std::string_view name, std::int64_t now) {
    std::string all;
    good(table().export_text(instance_, test::text_of(name), now, &all,
                             [](void* into, wheymark_text piece) {
                               static_cast<std::string*>(into)->append(piece.bytes, piece.length);
                             }));
    return all;
  }

 private:
  static const wheymark_plugin& table() { return *wheymark_plugin_v1(); }
  static HostCalls& of(void* self) { return static_cast<Plugin*>(self)->calls_; }
  static void good(wheymark_status status) {
    if (status == WHEYMARK_FROZEN) throw Frozen("the library froze");
    if (status != WHEYMARK_OK) throw Frozen("a call that was right was refused");
  }

  HostCalls calls_;
  wheymark_instance* instance_ = nullptr;
  wheymark_status status_;
};

}  // namespace wheymark::faults
