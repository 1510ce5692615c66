// Which milk is meant, and if it is none that grains can live on: why not?
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/kinetics/milk_kind.hpp"
#include "plugin/configuration/section.hpp"

namespace wheymark {

// Whether a word names a milk without lactose: split beforehand ("lactose-free") or a plant's
// ("oat").
bool names_milk_without_lactose(std::string_view word);

// The kind of milk, or its treatment, at a key of a section. A milk without lactose is refused with
// the reason, another unknown word with the list of those allowed.
std::optional<MilkKind> milk_in(Section& section, std::string_view key, Need need);
std::optional<Treatment> treatment_in(Section& section, std::string_view key, Need need);

}  // namespace wheymark
