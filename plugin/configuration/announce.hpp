// The person's own messages that introduce each jar, culture or place to their hub.
#pragma once

#include "plugin/configuration/configuration.hpp"
#include "plugin/configuration/section.hpp"

namespace wheymark {

// Reads `announce` of the outermost object into `configuration.introductions`, filled in for every
// jar, culture and place that has been read so far. What is wrong goes to the document's
// complaints, with the pointer to the template. When the household is not sound (two jars of one
// id, say), what only follows from that is not complained about.
void read_announce(Section& document, Configuration& configuration, bool household_is_sound);

}  // namespace wheymark
