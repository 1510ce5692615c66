// How to read one thermometer: its topic, which of the topic's messages are its own, where in them
// the number stands, and its unit.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/basis/words.hpp"

namespace wheymark {

enum class TemperatureUnit { celsius, fahrenheit, kelvin };

template <>
struct Vocabulary<TemperatureUnit> {
  static constexpr std::array words{Word<TemperatureUnit>{TemperatureUnit::celsius, "C"},
                                    Word<TemperatureUnit>{TemperatureUnit::fahrenheit, "F"},
                                    Word<TemperatureUnit>{TemperatureUnit::kelvin, "K"}};
};

// A topic that says whether a device is there.
struct AvailabilitySetup {
  std::string topic;
  std::string online = "online";  // anything else: it is away
};

struct ThermometerSetup {
  std::string where;  // in the configuration, as a JSON Pointer
  std::string topic;
  std::optional<std::string> pointer;  // JSON Pointer; without one the payload is the number
  std::optional<std::string> instant_pointer;  // only beside a pointer; without one, age = arrival
  TemperatureUnit unit = TemperatureUnit::celsius;
  double scale = 1.0;  // what its number is multiplied by, before its unit: 0.1 for tenths
  // Its messages have these values at these JSON Pointers; texts of numbers count as numbers.
  std::vector<std::pair<std::string, std::string>> match;
  std::optional<AvailabilitySetup> availability;
  double offset_k = 0.0;  // added to its value, in kelvin whatever its unit
};

}  // namespace wheymark
