// A jar's tile as an SVG picture of its own: readable at 200 pixels and at 600, by day and by
// night.
//
// It follows the reader's colour scheme by itself. Colour never says anything alone: the state is a
// word, milk and air are a solid and a dashed line with their names, the forecast is a hatched
// band. It needs no font but the reader's own and loads nothing.
#pragma once

#include <optional>
#include <string>

#include "core/record/setup.hpp"
#include "plugin/tile/day.hpp"
#include "plugin/tile/words.hpp"

namespace wheymark {

std::string tile_picture(const JarId& jar, const TileWords& words, const std::optional<Day>& day,
                         const HouseholdSetup& setup);

}  // namespace wheymark
