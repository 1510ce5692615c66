// The air along a batch's way, stay by stay: the one loop that follows a batch.
//
// What is computed along it is settled up to the last reading of the place where the batch stands,
// in stretches broken at every reading and every move. So it is the same to the bit whether
// readings came one by one, or are all walked at once after a restart or a late fact.
#pragma once

#include <algorithm>
#include <optional>

#include "core/air/place_air.hpp"
#include "core/air/temperature_history.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

// The air assumed at a place without any reading; nothing: its first reading must be waited for.
using AirWithoutReadings = std::function<std::optional<Celsius>(const PlaceId&)>;
// Nothing is assumed: without a reading nothing is known.
std::optional<Celsius> wait_for_readings(const PlaceId& place);

// The air at an instant of a stretch.
inline Celsius air_in(const RoomStretch& stretch, Instant instant) {
  const double share =
      hours_between(stretch.from, instant) / hours_between(stretch.from, stretch.to);
  return stretch.at_from + share * (stretch.at_to - stretch.at_from);
}

// The readings of the place's thermometer; null when there are none.
const TemperatureHistory* readings_of(const PlaceId& place, const AirOf& air);

// From `from` to `until`; calls on_stretch(const RoomStretch&, const Stay&). Returns how far it
// came: less far when a stay has no air at all.
template <class OnStretch>
Instant walk(const Batch& batch, const AirOf& air, const AirWithoutReadings& otherwise,
             Instant from, Instant until, OnStretch on_stretch) {
  for (std::size_t i = batch.stay_at(from); from < until; ++i) {
    const Stay& stay = batch.stays[i];
    const bool is_last = i + 1 == batch.stays.size();
    const Instant end = is_last ? until : std::min(until, batch.stays[i + 1].from);
    if (const TemperatureHistory* history = readings_of(stay.place, air)) {
      for (const RoomStretch& stretch : history->between(from, end)) on_stretch(stretch, stay);
    } else if (const auto assumed = otherwise(stay.place)) {
      if (from < end) on_stretch(RoomStretch{from, end, *assumed, *assumed}, stay);
    } else {
      return from;
    }
    from = end;
  }
  return from;
}

// How far, from `from` on, no reading that is still to come changes anything. A place that never
// has readings has nothing to wait for.
Instant walk_settles_at(const Batch& batch, const AirOf& air, const AirWithoutReadings& otherwise,
                        Instant from);

}  // namespace wheymark
