// What has happened and what will happen to batches and thermometers: each with its instant, and an
// id that never changes. Whether it has been said is the household's to know.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/basis/units.hpp"
#include "core/forecast/culture_health.hpp"
#include "core/household/announcement.hpp"
#include "core/household/batch.hpp"
#include "core/household/ferment.hpp"
#include "core/household/plan.hpp"
#include "core/household/thermometer.hpp"

namespace wheymark {

struct Moment {
  Happening kind;
  Instant time;
  std::string subject;
  std::string id;
};

// Of a batch: its start, its milestones as forecast or seen, its straining, its storing. `ferment`
// may be null.
std::vector<Moment> moments_of(const Batch& batch, const Ferment* ferment, const Notice& notice);

// Of a culture: that its pace has changed.
std::vector<Moment> moments_of(const CultureId& culture, const CultureHealth& health);

// Of a place's thermometer. `said` tells whether an id was announced: a return is worth a word only
// after its absence was.
std::vector<Moment> moments_of(const PlaceId& place, const Thermometer& thermometer,
                               Instant listening_since,
                               const std::function<bool(const std::string&)>& said);

}  // namespace wheymark
