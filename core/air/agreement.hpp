// What is the air of a place whose thermometers differ?
//
// The mean of those that agree with the median of all, to three kelvin: one of three that is wrong
// does not count, and good ones are better together than each alone. Of two that differ too much
// nobody can say which is right, so the one nearer to what the place was last believed to be
// counts. Refused: weights by how well each agreed before, because a place that really changed is
// noticed first by the one that hangs in the draught.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/basis/units.hpp"

namespace wheymark {

struct Agreement {
  Celsius air;
  double doubt_k = 0.0;            // half of what those that count differ by, from two kelvin on
  std::vector<std::size_t> apart;  // indices of those that do not count
};

// Of at least one reading. `before` is what was last believed of the place.
Agreement agreement_of(std::span<const Celsius> readings, std::optional<Celsius> before);

}  // namespace wheymark
