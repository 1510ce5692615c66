// A configuration without mistakes, and the complaints about one that has some.
#pragma once

#include <gmock/gmock.h>
#include <nlohmann/json.hpp>
#include <ostream>
#include <stdexcept>
#include <string>
#include <variant>

#include "plugin/configuration/configuration.hpp"

namespace wheymark {

inline void PrintTo(const Complaint& complaint, std::ostream* out) {
  *out << line_of(complaint);
}

// A household in which nothing is wrong; tests change one thing of it.
inline nlohmann::json sound() {
  return nlohmann::json::parse(R"({
    "home": { "name": "Quay House", "time_zone": "Europe/Lisbon",
              "waking": { "from": "06:30", "until": "23:00" } },
    "broker": { "url": "mqtts://hub.local:8883", "client_id": "kefir", "user": "kefir",
                "password_file": "secret.txt", "ca_file": "ca.pem",
                "certificate_file": "c.pem", "key_file": "k.pem" },
    "store": "kefir.db",
    "wire": { "homie_domain": "things", "prefix": "home/kefir", "root_device": "kefir" },
    "tile": { "listen": "127.0.0.1:8078" },
    "places": [
      { "id": "kitchen", "name": "Kitchen shelf", "kind": "room",
        "thermometer": { "topic": "house/kitchen/climate", "pointer": "/temperature", "unit": "F",
                         "instant_pointer": "/at", "offset_k": -0.5, "silent_after_min": 90 } },
      { "id": "fridge", "kind": "fridge", "thermometer": { "topic": "house/fridge/temp" } },
      { "id": "pantry", "kind": "room" } ],
    "cultures": [ { "id": "tilly", "name": "Tilly", "grain_g": 45,
                    "usual": [ { "hours": 22, "air_c": 21, "grain_g": 20, "milk_ml": 950,
                                 "milk_c": 5 }, { "hours": 30 } ] }, { "id": "moor" } ],
    "jars": [
      { "id": "blue", "name": "Blue jar", "capacity_ml": 1500, "place": "kitchen",
        "culture": "tilly", "milk": "cow-whole", "treatment": "raw", "milk_ml": 950, "grain_g": 20,
        "lid": "tight" },
      { "id": "swing-1", "capacity_ml": 1000, "place": "fridge" } ],
    "notice": { "peak_near_h": 3, "peak_closing_h": 1.5, "best_by_near_d": 1, "last_day_near_d": 4,
                "vent_after_h": 12 },
    "announce": [ { "each": "jar", "topic": "hub/{jar.id}/config", "payload": { "name": "{jar.name}" } } ]
  })");
}

inline Complaints complaints_about(const std::string& text) {
  const auto read = configuration_from(text);
  return std::holds_alternative<Complaints>(read) ? std::get<Complaints>(read) : Complaints{};
}

// The complaints when `value` stands at `pointer` of the sound household.
inline Complaints complaints_with(const char* pointer, const nlohmann::json& value) {
  nlohmann::json document = sound();
  document[nlohmann::json::json_pointer(pointer)] = value;
  return complaints_about(document.dump());
}

inline Configuration understood_from(const nlohmann::json& document) {
  auto read = configuration_from(document.dump());
  if (const auto* complaints = std::get_if<Complaints>(&read)) {
    throw std::runtime_error(line_of(complaints->front()));
  }
  return std::get<Configuration>(std::move(read));
}

inline auto at(const std::string& pointer, const std::string& sentence_part) {
  return testing::AllOf(
      testing::Field("pointer", &Complaint::pointer, pointer),
      testing::Field("sentence", &Complaint::sentence, testing::HasSubstr(sentence_part)));
}

}  // namespace wheymark
