// What temperature is in this thermometer's message, and when was it measured?
//
// Only whether a number is there is judged here. Whether a room can be that warm is core's
// question, which knows the readings before.
#pragma once

#include <optional>
#include <string_view>

#include "core/basis/result.hpp"
#include "core/basis/units.hpp"
#include "plugin/configuration/thermometer_setup.hpp"

namespace wheymark {

struct ReadingSaid {
  Celsius temperature;
  std::optional<Instant> at;  // when measured; nothing: the message does not say
};

// The reading in `payload`, in degrees Celsius with the thermometer's offset added; always finite.
// A number may be written as JSON text ("21.4" in quotes). Refused with one sentence that names the
// topic, the pointer, what was found and what is allowed: a payload that is too long, empty or not
// JSON, a pointer that leads nowhere, anything there but a number, an instant that is none.
Result<ReadingSaid> reading_from(std::string_view payload, const ThermometerSetup& thermometer);

}  // namespace wheymark
