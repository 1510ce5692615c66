// When should somebody who is told go to a running jar, and when again if it is not ready?
//
// Before most peaks have opened: whoever comes too early sees it and comes again, whoever comes too
// late has lost the batch. Where the night lies between, the better of its two ends.
#pragma once

#include <optional>
#include <span>

#include "core/forecast/in_time.hpp"
#include "core/household/household.hpp"

namespace wheymark {

struct Straining {
  Instant at;
  double chance;                    // that the peak is open then
  Instant until;                    // afterwards it is more likely over than not
  std::optional<Instant> again_at;  // when to look again if it is not ready by then
};

// `attended` in the order of time, at least one. Nothing while its peak cannot be forecast.
std::optional<Straining> best_straining(const Batch& batch, const Household& household, Instant now,
                                        std::span<const Attended> attended);

}  // namespace wheymark
