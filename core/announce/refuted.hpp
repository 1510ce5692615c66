// What was announced of a batch and then refuted: somebody looked, and it was not so.
//
// Who is told at 23:00 that the peak is open, finds still milk and says so, has taken that back:
// it is still to come, and is told again when it does. A look counts that was told after the
// announcement and not taken long before it; what was said before it was known to the forecast.
#pragma once

#include <functional>
#include <optional>

#include "core/announce/announcement.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

// When a milestone that is to come since an instant was announced, if it was.
using ToldAt = std::function<std::optional<Instant>(Instant since)>;

// The latest look that took back the announcement of a milestone (peak-near, peak-open,
// peak-closing, over-fermented), or null. The milestone is to come since it was told, else since
// the batch's start. It belongs to the batch.
const Observation* refutation(const Batch& batch, EventKind milestone, const Parameters& parameters,
                              const ToldAt& told_at);

// Whether a look, by its sign or its pH, takes back that this milestone has come, as somebody was
// told at this instant.
bool is_refuted(const Batch& batch, EventKind milestone, Instant told,
                const Parameters& parameters);

// The look after which this milestone is told again, or null: it is told for the first time. It
// belongs to the batch.
const Observation* look_before(const Batch& batch, const Announcement& milestone);

// When this sign or a later one was first seen, after `look` if there is one.
std::optional<Instant> first_seen_since(const Batch& batch, Sign sign, const Observation* look);

}  // namespace wheymark
