// The page of the whole household: every jar's tile, the fridge by age, the cultures, the rooms.
//
// It shows everything without a script; with one it stays up to date by itself. Nothing can be
// changed from the page.
#pragma once

#include <functional>
#include <string>

#include "core/household/household.hpp"
#include "plugin/tile/document.hpp"

namespace wheymark {

// `tile_version` names the state of a jar's picture, so that a changed one is fetched anew.
std::string page_html(const Household& household, Instant now,
                      const std::function<std::string(const JarId&)>& tile_version);
std::string_view page_style();
std::string_view page_script();

}  // namespace wheymark
