// What ends a command with exit status 1: a sentence for the person who called it.
//
// Thrown only on the way to main(), where it becomes one line of the log. The daemon may not
// include core, so it has no Result; and every one of these ends the command, so an exception says
// it best. Whatever the daemon lives on from (a broker that is gone, a bad message) is not one.
#pragma once

#include <stdexcept>

namespace wheymark {

class WorldIsWrong : public std::runtime_error {
  using std::runtime_error::runtime_error;
};

}  // namespace wheymark
