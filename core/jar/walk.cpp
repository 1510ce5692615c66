#include "core/jar/walk.hpp"

#include <algorithm>

namespace wheymark {
namespace {

// What the place's thermometer has said; null when there is nothing.
const TemperatureHistory* readings_of(const PlaceId& place, const AirOf& air) {
  const PlaceAir* known = air(place);
  return known != nullptr && known->history().last() ? &known->history() : nullptr;
}

}  // namespace

Instant walk(const Batch& batch, const AirOf& air, const AirWithoutReadings& otherwise,
             Instant from, Instant until,
             const std::function<void(const RoomStretch&, const Stay&)>& stretch) {
  for (std::size_t i = batch.stay_at(from); from < until; ++i) {
    const Stay& stay = batch.stays[i];
    const bool is_last = i + 1 == batch.stays.size();
    const Instant end = is_last ? until : std::min(until, batch.stays[i + 1].from);
    const TemperatureHistory* history = readings_of(stay.place, air);
    if (history != nullptr) {
      for (const RoomStretch& piece : history->between(from, end)) stretch(piece, stay);
    } else if (const auto assumed = otherwise(stay.place)) {
      if (from < end) stretch({from, end, *assumed, *assumed}, stay);
    } else {
      return from;
    }
    from = end;
  }
  return from;
}

Instant walk_settles_at(const Batch& batch, const AirOf& air, const AirWithoutReadings& otherwise,
                        Instant from) {
  for (std::size_t i = batch.stay_at(from);; ++i) {
    const Stay& stay = batch.stays[i];
    const bool is_last = i + 1 == batch.stays.size();
    const TemperatureHistory* history = readings_of(stay.place, air);
    if (history != nullptr) {
      const Instant read = history->last()->at;
      if (is_last || read < batch.stays[i + 1].from) return std::max(from, read);
    } else if (is_last || !otherwise(stay.place)) {
      return std::max(from, stay.from);
    }
  }
}

}  // namespace wheymark
