// The simulated home, and counts of what happened there.
#pragma once

#include <cstdint>

namespace wheymark::faults {

inline constexpr const char* household = R"({
  "home": {"name": "Simulated home", "time_zone": "Europe/Dublin"},
  "broker": {"url": "mqtt://127.0.0.1:1883"},
  "store": "unused.db",
  "places": [
    {"id": "kitchen", "kind": "room", "thermometer": {"topic": "house/kitchen"}},
    {"id": "larder", "kind": "room", "thermometer": {"topic": "house/larder",
      "pointer": "/air", "instant_pointer": "/at"}},
    {"id": "fridge", "kind": "fridge", "thermometer": {"topic": "house/fridge"}}],
  "cultures": [{"id": "tilly", "grain_g": 60}, {"id": "otto", "grain_g": 10}],
  "jars": [
    {"id": "blue", "capacity_ml": 1250, "place": "kitchen",
     "culture": "tilly", "milk": "cow-whole", "milk_ml": 950, "grain_g": 20},
    {"id": "red", "capacity_ml": 1250, "place": "larder",
     "culture": "tilly", "milk": "goat", "milk_ml": 800, "grain_g": 20},
    {"id": "bottle", "capacity_ml": 1500, "place": "fridge"},
    {"id": "flask", "capacity_ml": 1500, "place": "fridge"}]})";

// The counts of a run, for the table of faults.
struct Tally {
  std::uint64_t readings = 0, said = 0, accepted = 0, events = 0, doubled_events = 0;
  std::uint64_t kills = 0, connections = 0, disk_changes = 0, bytes_written = 0;
  void add(const Tally& o) {
    readings += o.readings, said += o.said, accepted += o.accepted, events += o.events;
    doubled_events += o.doubled_events, kills += o.kills, connections += o.connections;
    disk_changes += o.disk_changes, bytes_written += o.bytes_written;
  }
};

}  // namespace wheymark::faults
