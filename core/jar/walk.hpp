// The air along a batch's way, stay by stay.
//
// What is computed along it is settled up to the last reading of the place where the batch stands,
// in stretches broken at every reading and every move: the same to the bit whether readings came
// one by one or are all walked at once after a late fact.
#pragma once

#include <functional>
#include <optional>

#include "core/air/temperature_history.hpp"
#include "core/jar/ferment.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

// What a place without any reading is taken as; nothing: it must be waited for.
using AirWithoutReadings = std::function<std::optional<Celsius>(const PlaceId&)>;

// From `from` to `until`. Returns how far it came: less far when a stay has no air at all.
Instant walk(const Batch& batch, const AirOf& air, const AirWithoutReadings& otherwise,
             Instant from, Instant until,
             const std::function<void(const RoomStretch&, const Stay&)>& stretch);

// How far, from `from` on, no reading that is still to come changes anything. A place that never
// has readings has nothing to wait for; `until` bounds it where the batch stands in one.
Instant walk_settles_at(const Batch& batch, const AirOf& air, const AirWithoutReadings& otherwise,
                        Instant from);

}  // namespace wheymark
