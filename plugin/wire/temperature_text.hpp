// A temperature as devices write it: a number, perhaps with its unit, a comma, a byte order mark.
//
// Read generously, because nobody can change what a device sends; but only what has one meaning. A
// comma stands for the decimal point, so a number with both, or with two commas, is none.
#pragma once

#include <optional>
#include <string_view>

#include "plugin/configuration/thermometer_setup.hpp"

namespace wheymark {

struct TemperatureText {
  double number;
  std::optional<TemperatureUnit> unit;  // as written
};

// "21.4", "21,4 °C", "70 F", "294.5 Kelvin", "\"21.4\"". Nothing for any other text, and for what
// no double holds.
std::optional<TemperatureText> temperature_in(std::string_view text);

// Without a byte order mark, white space and no-break spaces around it.
std::string_view trimmed_text(std::string_view text);

// Whether this is how hubs and firmwares say that there is no reading: "unavailable", "unknown",
// "offline", "nan", nothing at all.
bool says_that_there_is_none(std::string_view text);

}  // namespace wheymark
