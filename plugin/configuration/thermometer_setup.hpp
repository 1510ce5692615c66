// How to read one thermometer: its topic, where in its message the number stands, and its unit.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "core/basis/words.hpp"

namespace wheymark {

enum class TemperatureUnit { celsius, fahrenheit, kelvin };

template <>
struct Vocabulary<TemperatureUnit> {
  static constexpr std::array words{Word<TemperatureUnit>{TemperatureUnit::celsius, "C"},
                                    Word<TemperatureUnit>{TemperatureUnit::fahrenheit, "F"},
                                    Word<TemperatureUnit>{TemperatureUnit::kelvin, "K"}};
};

struct ThermometerSetup {
  std::string topic;
  std::optional<std::string> pointer;  // JSON Pointer; without one the payload is the number
  std::optional<std::string> instant_pointer;  // only beside a pointer; without one, age = arrival
  TemperatureUnit unit = TemperatureUnit::celsius;
  double offset_k = 0.0;  // added to its value, in kelvin whatever its unit
};

}  // namespace wheymark
