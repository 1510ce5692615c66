// Does a reading make sense in another unit?
//
// A thermometer that was replaced, or configured from memory, may send Fahrenheit or Kelvin where
// Celsius is expected, or the other way round. Its readings are then never believed, but
// recognising the unit turns "cannot be true" into a line of the configuration to correct.
#pragma once

#include <optional>
#include <string_view>

#include "core/basis/units.hpp"

namespace wheymark {

struct SwappedUnit {
  std::string_view numbers_are_in;  // "Fahrenheit"
  Celsius air;                      // its reading in that unit
};

// `says` is the reading as the configuration has it. `last` is what was last believed of this
// place; without it, any air that a home has makes sense.
std::optional<SwappedUnit> swapped_unit(Celsius says, std::optional<Celsius> last);

}  // namespace wheymark
