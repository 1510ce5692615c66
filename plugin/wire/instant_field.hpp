// An instant in a report or a question.
#pragma once

#include <optional>
#include <string_view>

#include "core/basis/units.hpp"
#include "plugin/configuration/section.hpp"

namespace wheymark {

// RFC 3339; nothing when it is missing, or when the section has complained about it.
std::optional<Instant> instant_in(Section& said, std::string_view key);

}  // namespace wheymark
