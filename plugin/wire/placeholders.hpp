// The names in braces in the person's own templates, and what replaces them.
//
// "{jar.name}" is a placeholder; "{{" and "}}" are single braces, for hubs whose own templates are
// full of them. Only what is known is replaced: an unknown name is refused, never left in place,
// because a message that a hub does not understand is silently lost.
#pragma once

#include <map>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "core/basis/result.hpp"

namespace wheymark {

// By name, without braces.
using Placeholders = std::map<std::string, std::string, std::less<>>;

// The text with every placeholder filled in. Refused with one sentence that names the placeholder
// and what is allowed.
Result<std::string> filled_in(std::string_view text, const Placeholders& placeholders);

struct Misfilled {
  std::string pointer;  // JSON Pointer to the place within the value
  std::string why;
};

// Fills in every text and every key within the value. The first that cannot be, or nothing.
std::optional<Misfilled> fill_in(nlohmann::json& value, const Placeholders& placeholders);

}  // namespace wheymark
