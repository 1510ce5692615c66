// What temperature is in this thermometer's message, and when was it measured?
//
// Forms that devices really send are read: see temperature_text.hpp and device_instant.hpp. What is
// not understood is told by what it is and where the configuration would have to be mended. Whether
// a room can be that warm is core's question, which knows the readings before.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "core/basis/units.hpp"
#include "plugin/configuration/thermometer_setup.hpp"
#include "plugin/wire/device_instant.hpp"

namespace wheymark {

// In degrees Celsius, with the thermometer's offset added; always finite.
struct ReadingSaid {
  Celsius temperature;
  std::optional<Instant> at;  // when measured; nothing: the message does not say, or not well
  std::string doubt;          // why `at` is in doubt; empty: it is not
};

// The way of hubs and firmwares to say that there is no reading.
struct SaidNothing {
  std::string text;  // "unavailable", perhaps empty
};

// On a topic of several devices: it is none of this thermometer's.
struct OfAnother {};

// "\"n/a\" is no temperature: see /places/0/thermometer/pointer; did you mean /air/t?"
struct NotUnderstood {
  std::string what;
};

using Heard = std::variant<ReadingSaid, SaidNothing, OfAnother, NotUnderstood>;

// The unit that a text has beside its number wins against the configured one: it is nearer to the
// device, which may have been switched. `scale` is applied to whatever number is there.
Heard heard_in(std::string_view payload, const ThermometerSetup& thermometer,
               const ZoneOffset& home);

// The texts, numbers and truths of a JSON message by their JSON Pointer, without the thermometer's
// own; a few at most. Empty for a message that is no object.
std::map<std::string, std::string> names_in(std::string_view payload,
                                            const ThermometerSetup& thermometer);

}  // namespace wheymark
