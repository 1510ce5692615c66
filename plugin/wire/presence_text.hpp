// Whether somebody is at home, as it is said on a topic.
#pragma once

#include <string_view>

#include "core/basis/result.hpp"
#include "plugin/configuration/presence_setup.hpp"

namespace wheymark {

// True for the word that means so, false for any other word, number or truth. Refused when there is
// none: too long, not JSON, nothing at the pointer, or an object, a list or null there.
Result<bool> somebody_home_from(std::string_view payload, const PresenceSetup& presence);

}  // namespace wheymark
