// The person's own messages that introduce each jar, culture or place to their hub.
#pragma once

#include <array>

#include "core/basis/words.hpp"
#include "plugin/configuration/configuration.hpp"
#include "plugin/configuration/section.hpp"

namespace wheymark {

// For what a template is filled in, once for each.
enum class Each { jar, culture, place };

template <>
struct Vocabulary<Each> {
  static constexpr std::array words{Word<Each>{Each::jar, "jar"},
                                    Word<Each>{Each::culture, "culture"},
                                    Word<Each>{Each::place, "place"}};
};

// Reads `announce` of the outermost object into `configuration.introductions`, filled in for every
// jar, culture and place that has been read so far. What is wrong goes to the document's
// complaints, with the pointer to the template. When the household is not sound (two jars of one
// id, say), what only follows from that is not complained about.
void read_announce(Section& document, Configuration& configuration, bool household_is_sound);

}  // namespace wheymark
