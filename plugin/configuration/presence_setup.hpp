// Where it is said whether somebody is at home.
#pragma once

#include <optional>
#include <string>

namespace wheymark {

struct PresenceSetup {
  std::string topic;
  std::optional<std::string> pointer;  // into JSON; without one the payload is the word
  std::string home = "home";           // the word that means that somebody is
};

}  // namespace wheymark
