// The part of a configuration that describes the household: places, cultures, jars, when to speak.
#pragma once

#include "plugin/configuration/configuration.hpp"
#include "plugin/configuration/section.hpp"

namespace wheymark {

// A topic to listen to, and where it was written.
struct ReadTopic {
  std::string pointer;
  std::string topic;
};

// Reads `home`, `places`, `cultures`, `jars` and `notice` of the outermost object into
// `configuration`: its setup, its thermometers and its advice. What is wrong goes to the document's
// complaints; the configuration is then not to be used. Returns the thermometers' topics, because
// whether they are our own is known only when everything has been read.
std::vector<ReadTopic> read_household(Section& document, Configuration& configuration);

}  // namespace wheymark
