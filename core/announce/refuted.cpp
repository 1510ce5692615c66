#include "core/announce/refuted.hpp"

#include <algorithm>

#include "core/announce/occurrence_ids.hpp"
#include "core/basis/check.hpp"

namespace wheymark {
namespace {

// A look of some hours ago can still be told of what was announced since (our estimate).
constexpr std::chrono::hours looked_before{3};
// Twice what a household's meter or strip may be off by.
constexpr double ph_above_by = 0.3;

// What must be there for it to be true. A peak that is near has set, and one that closes is open.
Sign sign_of(EventKind milestone) {
  switch (milestone) {
    case EventKind::peak_near:
      return Sign::set;
    case EventKind::peak_open:
    case EventKind::peak_closing:
      return Sign::whey_pockets;
    case EventKind::over_fermented:
      return Sign::whey_layer;
    default:
      check(false, "a milestone is refuted");
  }
  return Sign::still_milk;
}

double ph_of(Sign sign, const Parameters& parameters) {
  if (sign == Sign::set) return parameters.set_ph;
  return sign == Sign::whey_pockets ? parameters.peak_opens_ph : parameters.peak_closes_ph;
}

bool shows_less(const Observation& seen, Sign than, const Parameters& parameters) {
  if (const Sign* sign = std::get_if<Sign>(&seen.what)) return *sign < than;
  return std::get<double>(seen.what) > ph_of(than, parameters) + ph_above_by;
}

// The first look to be told after `since` that takes back what was told then, or null.
const Observation* first_refuting(const Batch& batch, Sign sign, Instant told, Instant since,
                                  const Parameters& parameters) {
  const Observation* first = nullptr;
  for (const Observation& seen : batch.observations) {
    const bool after_it =
        seen.told_at >= told && seen.told_at > since && seen.at >= told - looked_before;
    if (!after_it || !shows_less(seen, sign, parameters)) continue;
    if (first == nullptr || seen.told_at < first->told_at) first = &seen;
  }
  return first;
}

}  // namespace

const Observation* refutation(const Batch& batch, EventKind milestone, const Parameters& parameters,
                              const ToldAt& told_at) {
  const Sign sign = sign_of(milestone);
  const Observation* latest = nullptr;
  Instant since = batch.started;
  while (const auto announced = told_at(since)) {
    const Observation* next = first_refuting(batch, sign, *announced, since, parameters);
    if (next == nullptr) break;
    latest = next;
    since = next->told_at;
  }
  return latest;
}

bool is_refuted(const Batch& batch, EventKind milestone, Instant told,
                const Parameters& parameters) {
  return first_refuting(batch, sign_of(milestone), told, batch.started, parameters) != nullptr;
}

const Observation* look_before(const Batch& batch, const Announcement& milestone) {
  const auto is_told_since = [&](Instant since) {
    return of_jar(batch.start.jar, milestone.kind, milestone.time, since, batch.number).id ==
           milestone.id;
  };
  if (is_told_since(batch.started)) return nullptr;
  const auto look =
      std::find_if(batch.observations.rbegin(), batch.observations.rend(),
                   [&](const Observation& seen) { return is_told_since(seen.told_at); });
  return look == batch.observations.rend() ? nullptr : &*look;
}

std::optional<Instant> first_seen_since(const Batch& batch, Sign sign, const Observation* look) {
  for (const Observation& seen : batch.observations) {
    if (look != nullptr && seen.at <= look->at) continue;
    const Sign* what = std::get_if<Sign>(&seen.what);
    if (what != nullptr && *what >= sign) return seen.at;
  }
  return std::nullopt;
}

}  // namespace wheymark
