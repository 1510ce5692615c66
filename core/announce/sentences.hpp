// The wording: each occurrence as an announcement that can be read aloud in the kitchen.
//
// The sentences live in sentences_*.cpp, one file a subject; the cautions in cautions.hpp. Nothing
// here says that food is safe, only how old and how far it is. `now` is when it is announced; a
// late announcement says so.
#pragma once

#include "core/announce/announcement.hpp"
#include "core/announce/occurrences.hpp"
#include "core/household/household.hpp"

namespace wheymark {

// Of a batch, also when it is a bottle in the fridge.
Announcement worded(const Occurrence& occurrence, const Batch& batch, const Household& household,
                    Instant now);

// Of a culture's pace.
Announcement worded(const Occurrence& occurrence, const CultureId& culture,
                    const PaceChange& change, const Household& household);

// Of a place's warmth, or of its thermometer.
Announcement worded(const Occurrence& occurrence, const PlaceSetup& place,
                    const Household& household, Instant now);
// Of a culture's grains.
Announcement worded(const Occurrence& occurrence, const CultureSetup& culture,
                    const Household& household, Instant now);
// Of a jar, whatever is in it.
Announcement worded(const Occurrence& occurrence, const JarSetup& jar, const Household& household,
                    Instant now);

}  // namespace wheymark
