// The page, its files and the tiles, by their paths.
//
// "/" is the page; "/page.css" and "/page.js" belong to it, as files of their own so that the page
// needs no inline style or script. "/tile/jar-ID.svg" is a jar's tile. "/paths" lists all these.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/household/household.hpp"
#include "core/household/jar_state.hpp"
#include "plugin/tile/document.hpp"

namespace wheymark {

std::string tile_of(const Household& household, const JarSetup& jar, const JarState& state,
                    Instant now);

// Nothing when there is none at this path.
std::optional<Document> document(std::string_view path, const Household& household, Instant now);

}  // namespace wheymark
