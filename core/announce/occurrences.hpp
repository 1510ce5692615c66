// What has happened and what will happen to batches, bottles, grains and places: each with its
// instant, and an id that never changes. The Announcer knows whether it was announced.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "core/air/thermometer.hpp"
#include "core/announce/announcement.hpp"
#include "core/basis/units.hpp"
#include "core/household/household.hpp"
#include "core/jar/fermentation.hpp"
#include "core/pace/culture_health.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

struct Occurrence {
  EventKind kind;
  Instant time;
  std::string subject;
  std::string id;
};

// When an id was announced, if it was.
using Told = std::function<std::optional<Instant>(const std::string& id)>;

// Of a batch: its start, its milestones as forecast or seen, its straining, its storing.
// `fermentation` may be null. A milestone that was told and then refuted by what somebody saw comes
// again, as another occurrence.
std::vector<Occurrence> occurrences_of(const Batch& batch, const Fermentation* fermentation,
                                       const Household& household, const Told& told);

// Of a culture: that its pace has changed.
std::vector<Occurrence> occurrences_of(const CultureId& culture, const CultureHealth& health);

// Of a place's thermometer. A return is announced only if its absence was told.
std::vector<Occurrence> occurrences_of(const PlaceId& place, const Thermometer& thermometer,
                                       Instant listening_since, const Told& told);

// Of a batch once it is strained or shut in: the dates of a bottle in the fridge, the lid.
std::vector<Occurrence> occurrences_after_peak(const Batch& batch, const Household& household);

// When a tight lid is to be opened; nothing under a loose one.
std::optional<Instant> lid_is_due(const Batch& batch, const Household& household);

// Of a jar, whatever is in it: its washing.
std::vector<Occurrence> occurrences_of(const JarSetup& jar, const Household& household);

// Of a culture's grains: hungry, too many, or what an inspection found.
std::vector<Occurrence> occurrences_of(const CultureSetup& culture, const Household& household);

// Of a place that is too warm or too cold for what stands in it.
std::vector<Occurrence> occurrences_of(const PlaceSetup& place, const Household& household);

}  // namespace wheymark
