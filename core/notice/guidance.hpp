// What to do with a running jar and with grains that are out, as matters with steps.
//
// The advice is that of `plan` (core/advice), so that whoever asks and whoever is told do the same.
#pragma once

#include <optional>
#include <vector>

#include "core/advice/feeding.hpp"
#include "core/advice/steering.hpp"
#include "core/household/household.hpp"
#include "core/notice/notice.hpp"
#include "core/notice/straining.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

// "jar-blue.12": a batch, by the jar in which it began.
std::string about_batch(const Batch& batch);

// Strain it: one step for each verdict, one for not yet, and the next feeding. `round` counts how
// often this was said before and refuted; `again_at` is when to look again if it is not ready.
Matter strain_matter(const Batch& batch, const Straining& straining, int round,
                     const Household& household, Instant now);
// It was told, and is still there: once, when its peak is likely over.
Matter closing_matter(const Batch& batch, const Household& household, Instant now);

// What to do before the night so that its peak is not lost in it. Nothing when it is best left
// alone.
std::optional<Matter> night_matter(const Batch& batch, const Household& household, Instant now);

// Everybody leaves, and its peak comes before `until`. Nothing when it does not.
std::optional<Matter> leaving_matter(const Batch& batch, Instant until, const Household& household,
                                     Instant now);

// It stands in the fridge longer than was said.
Matter take_out_matter(const Batch& batch, const std::string& key, const PlaceId& to,
                       const Household& household, Instant now);
// It was put in the fridge days ago, and nobody has spoken of it since.
Matter forgotten_matter(const Batch& batch, Instant since, const Household& household, Instant now);

// The next feeding of a culture whose grains are out of milk. Nothing when it cannot be advised.
std::optional<Matter> feed_matter(const CultureSetup& culture, const FactRef& out,
                                  const Household& household, Instant now);

// What to do with the grains that come out of a jar by this straining.
std::vector<NoticeStep> steps_after_straining(const FactRecord& record, const Household& household);

}  // namespace wheymark
