#include "core/jar/walk.hpp"

namespace wheymark {

std::optional<Celsius> wait_for_readings(const PlaceId&) {
  return std::nullopt;
}

const TemperatureHistory* readings_of(const PlaceId& place, const AirOf& air) {
  const PlaceAir* known = air(place);
  return known != nullptr && known->history().last() ? &known->history() : nullptr;
}

Instant walk_settles_at(const Batch& batch, const AirOf& air, const AirWithoutReadings& otherwise,
                        Instant from) {
  for (std::size_t i = batch.stay_at(from);; ++i) {
    const Stay& stay = batch.stays[i];
    const bool is_last = i + 1 == batch.stays.size();
    if (const TemperatureHistory* history = readings_of(stay.place, air)) {
      const Instant read = history->last()->at;
      if (is_last || read < batch.stays[i + 1].from) return std::max(from, read);
    } else if (is_last || !otherwise(stay.place)) {
      return std::max(from, stay.from);
    }
  }
}

}  // namespace wheymark
