// The wording: each moment as an announcement that can be read aloud in the kitchen.
//
// One home for every sentence and every caution. Cautions defer to local food-safety advice and a
// qualified professional; nothing here says that food is safe, only how old and how far it is.
#pragma once

#include "core/household/announcement.hpp"
#include "core/household/happenings.hpp"
#include "core/household/household.hpp"

namespace wheymark {

// Of a batch. `now` is when it is told; a moment that is told late says so.
Announcement told(const Moment& moment, const Batch& batch, const Household& household,
                  Instant now);

// Of a culture's pace.
Announcement told(const Moment& moment, const CultureId& culture, const PaceChange& change,
                  const Household& household);

// Of a place's thermometer.
Announcement told(const Moment& moment, const PlaceId& place, const Household& household);

}  // namespace wheymark
