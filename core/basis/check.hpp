// What we hold to be true about our own code, checked in every build.
//
// A broken check is our mistake, never the world's. It unwinds to the C boundary, which freezes
// that one instance and tells the host; the host opens a new one from the journal.
#pragma once

#include <stdexcept>
#include <string>

namespace wheymark {

class BrokenCheck : public std::logic_error {
 public:
  explicit BrokenCheck(const std::string& claim) : std::logic_error("does not hold: " + claim) {}
};

inline void check(bool fact, const char* what_must_hold) {
  if (!fact) throw BrokenCheck(what_must_hold);
}

}  // namespace wheymark
