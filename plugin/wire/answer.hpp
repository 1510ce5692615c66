// The one answer to each report or question: accepted with the fact's id, or refused with one
// sentence. A question has no id; its answer's fields stand beside the sentence.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "core/basis/units.hpp"
#include "core/record/setup.hpp"
#include "plugin/store/store.hpp"

namespace wheymark {

struct Answer {
  std::optional<std::string> ref;   // as it was sent
  std::optional<std::string> fact;  // its word, as far as it could be read
  bool accepted = false;
  std::string why;                  // empty when there is nothing to add
  std::optional<std::uint64_t> id;  // the number of an accepted fact
  std::string fields = {};          // a JSON object: a question's answer, or the steps that follow
};

// On <prefix>/answer, QoS 1, not retained.
OutboxMessage outbox_message_of(const Answer& answer, const std::string& prefix);

// For a dashboard: "Tue 2 Mar 08:10: start is noted.", "...: start was refused: WHY".
std::string sentence_of(const Answer& answer, Instant now, const HouseholdSetup& setup);

}  // namespace wheymark
