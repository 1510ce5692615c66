// Any sequence of calls of the C boundary: nothing freezes, no timer spins, what is published is
// UTF-8 without control characters in its topics, and a new instance opens from what was kept.
//
// The input is a program: a byte chooses the call, the next its arguments; texts end at a newline.
#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <string>
#include <unistd.h>
#include <vector>

#include "plugin/wheymark.h"

namespace {

constexpr const char* household = R"({
  "home": {"name": "F", "time_zone": "Europe/Dublin"}, "broker": {"url": "mqtt://h"},
  "store": "x", "places": [
    {"id": "k", "kind": "room", "thermometer": {"topic": "t/k"}},
    {"id": "l", "kind": "room", "thermometer": {"topic": "t/l", "pointer": "/v", "unit": "F",
      "instant_pointer": "/at"}},
    {"id": "f", "kind": "fridge", "thermometer": {"topic": "t/f"}}],
  "cultures": [{"id": "c"}],
  "jars": [{"id": "b", "capacity_ml": 1250, "place": "k", "culture": "c", "milk": "cow-whole",
            "milk_ml": 950, "grain_g": 20}, {"id": "s", "capacity_ml": 1000, "place": "f"}]})";

struct Host {
  std::vector<std::uint64_t> owed;
  bool refuses = false;

  static int publish(void* self, const wheymark_message* m) {
    auto& host = *static_cast<Host*>(self);
    if (host.refuses) return 1;
    if (m->topic.length == 0 || m->qos > 2) abort();
    for (std::size_t i = 0; i < m->topic.length; ++i) {
      const char c = m->topic.bytes[i];
      if (static_cast<unsigned char>(c) < 0x20 || c == '#' || c == '+') abort();
    }
    if (m->delivery != 0) host.owed.push_back(m->delivery);
    return 0;
  }
};

class Program {
 public:
  Program(const std::uint8_t* bytes, std::size_t size) : bytes_(bytes), end_(bytes + size) {}
  [[nodiscard]] bool over() const { return bytes_ == end_; }
  std::uint8_t byte() { return over() ? std::uint8_t{0} : *bytes_++; }
  std::string text() {
    const std::uint8_t* begin = bytes_;
    while (!over() && *bytes_ != '\n') ++bytes_;
    std::string text(reinterpret_cast<const char*>(begin),
                     static_cast<std::size_t>(bytes_ - begin));
    if (!over()) ++bytes_;
    return text;
  }

 private:
  const std::uint8_t* bytes_;
  const std::uint8_t* end_;
};

wheymark_instance* opened(const wheymark_host& host, const std::string& store) {
  wheymark_settings settings{};
  settings.struct_size = sizeof settings;
  settings.configuration = {household, std::strlen(household)};
  settings.store = {store.data(), store.size()};
  wheymark_instance* instance = nullptr;
  if (wheymark_plugin_v1()->open(&host, &settings, &instance) != WHEYMARK_OK) abort();
  return instance;
}

void not_frozen(wheymark_status status) {
  if (status == WHEYMARK_FROZEN) abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const wheymark_plugin& plugin = *wheymark_plugin_v1();
  Host host;
  wheymark_host table{};
  table.struct_size = sizeof table;
  table.context = &host;
  table.publish = Host::publish;
  table.subscribe = [](void*, wheymark_text, std::uint8_t) { return 0; };
  table.log = [](void*, wheymark_level, wheymark_text) {};
  wheymark_instance* instance = opened(table, ":memory:");
  std::int64_t now = 1'803'888'000'000;
  constexpr const char* topics[] = {"wheymark/say",
                                    "t/k",
                                    "t/l",
                                    "t/f",
                                    "homie/5/jar-b/care/say/set",
                                    "homie/5/jar-b/care/step/set",
                                    "homie/5/jar-b/care/sign/set",
                                    "homie/5/wheymark/$state"};
  for (Program program(bytes, size); !program.over();) {
    switch (const std::uint8_t call = program.byte() % 12; call) {
      case 0:
        not_frozen(plugin.connected(instance, now));
        break;
      case 1:
        not_frozen(plugin.subscribed(instance, now));
        break;
      case 2:
        not_frozen(plugin.disconnected(instance, now));
        break;
      case 3:
        not_frozen(plugin.tick(instance, now));
        break;
      case 4:
        if (!host.owed.empty()) {
          not_frozen(plugin.delivered(instance, host.owed.back(), now));
          host.owed.pop_back();
        } else {
          not_frozen(plugin.delivered(instance, program.byte(), now));
        }
        break;
      case 5:
        now += std::int64_t{program.byte()} * 60'000;
        break;
      case 6:
        now += (std::int64_t{program.byte()} - 128) * 3'600'000;
        break;
      case 7:
        host.refuses = !host.refuses;
        break;
      case 8:
        now = program.byte() < 4 ? 1'000 : std::max<std::int64_t>(now, 1'803'888'000'000);
        break;
      default: {
        const std::string topic = call == 11 ? program.text() : topics[program.byte() % 8];
        const std::string payload = program.text();
        wheymark_message m{};
        m.struct_size = sizeof m;
        m.retain = call == 10 ? 1 : 0;
        m.topic = {topic.data(), topic.size()};
        m.payload = {payload.data(), payload.size()};
        not_frozen(plugin.message(instance, &m, now));
      }
    }
    for (int ticks = 0; plugin.next_tick_ms(instance) <= now && now > 1'704'067'200'000; ++ticks) {
      if (ticks > 50) abort();  // a timer that spins
      not_frozen(plugin.tick(instance, now));
    }
  }
  not_frozen(plugin.stop(instance, now));
  plugin.close(instance);
  return 0;
}
