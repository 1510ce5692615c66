// The ids of occurrences: made of what they are about and since when, so that they never change.
//
// The instant keeps apart the ids of different stores, each of which numbers its facts from 1.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "core/announce/occurrences.hpp"

namespace wheymark {

// "20270301T081000Z": an instant as it stands in ids.
std::string id_stamp(Instant instant);

// "jar-blue.20270301T081000Z.12.peak-open": of whom, since when, by which fact, and what.
Occurrence of_jar(const JarId& jar, EventKind kind, Instant time, Instant since,
                  std::uint64_t fact);
Occurrence of_culture(const CultureId& culture, EventKind kind, Instant time, Instant since,
                      std::uint64_t fact);
// "place-kitchen.20270301T081000Z.thermometer-silent"; "never" when there is no since.
Occurrence of_place(const PlaceId& place, EventKind kind, Instant time,
                    std::optional<Instant> since);

// The place of an id that of_place made; nothing for any other.
std::optional<PlaceId> place_of_id(const std::string& id);

}  // namespace wheymark
