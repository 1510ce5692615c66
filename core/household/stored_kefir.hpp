// How long strained kefir is kept in the fridge, and how it should taste by then: common practice,
// not a promise.
#pragma once

#include <chrono>
#include <string_view>
#include <vector>

#include "core/basis/units.hpp"
#include "core/household/household.hpp"
#include "core/jar/ageing.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

// A stored batch at an instant. Dates come earlier when it was warmer than 4 degC, never later.
struct StoredKefir {
  const Batch* batch;
  Instant stored;
  double age_d;
  double effective_age_d;  // at least age_d
  Instant best_by;
  Instant last_day;
  // Why it must be thrown out, or null; then its dates mean nothing.
  const Suspicion* suspicion;
  bool shortened;  // best by a day or more earlier than by the calendar: worth mentioning
};

StoredKefir stored_kefir(const Household& household, const Batch& stored, Instant now);

// Everything that stands in a fridge (or in all of them, for an empty id), the oldest first.
std::vector<StoredKefir> inventory(const Household& household, const PlaceId& fridge, Instant now);

// What it should be like at this effective age: "mild and fresh".
std::string_view flavour_by_now(double effective_age_d);

}  // namespace wheymark
