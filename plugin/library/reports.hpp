// What a person reports is decided, recorded with its answer, and applied; or refused, and then
// nothing has changed.
#pragma once

#include <string>

#include "core/household/household.hpp"
#include "plugin/library/allowance.hpp"
#include "plugin/library/events.hpp"
#include "plugin/library/host_clock.hpp"
#include "plugin/library/journal.hpp"
#include "plugin/wire/answer.hpp"

namespace wheymark {

class Reports {
 public:
  // Answers go out on a topic that begins with the prefix.
  Reports(std::string prefix, const Household& household, Events& events, Journal& journal);

  struct Received {
    Answer answer;
    bool is_on_its_way;  // recorded with the fact, it goes out like an event
  };
  // The same ref again is accepted, and counts once.
  Received receive(const Report& said, const HostTime& time);

 private:
  std::string prefix_;
  const Household& household_;
  Events& events_;
  Journal& journal_;
  Allowance allowance_;
};

}  // namespace wheymark
