// Moments after the peak: a bottle's dates, its lid, the jar's washing.
#include <algorithm>

#include "core/household/happenings.hpp"
#include "core/household/household.hpp"
#include "core/household/keeping.hpp"
#include "core/household/moment_ids.hpp"

namespace wheymark {
namespace {

Instant some_days_before(Instant instant, double days) {
  return after_hours(instant, -24.0 * days);
}

// A date that comes closer because the fridge is warm is news when the reading says so, not before.
void add_dates(std::vector<Moment>& moments, const Batch& batch, const Ageing& ageing,
               const Notice& notice) {
  const Instant stored = batch.stored.front().at;
  const auto add = [&](Happening kind, Instant time) {
    moments.push_back(of_jar(batch.jar(), kind, std::max(time, ageing.settled_at()), stored,
                             batch.stored.front().fact));
  };
  const Instant best_by = ageing.reaches_best_by();
  const Instant last_day = ageing.reaches_last_day();
  add(Happening::best_by_near, some_days_before(best_by, notice.best_by_near_d));
  add(Happening::best_by_passed, best_by);
  add(Happening::last_day_near, some_days_before(last_day, notice.last_day_near_d));
  add(Happening::last_day_passed, last_day);
}

// A day on the counter is usual, some days in the fridge; or when the gas presses, whichever is
// first.
Instant vent_due(const Batch& batch, const LidWatch& lid, const Notice& notice) {
  const double patience_h = batch.in_fridge ? vent_in_fridge_after_h : notice.vent_after_h;
  const Instant by_time = after_hours(batch.lid_since, patience_h);
  const auto pressed = lid.pressed_since();
  return pressed && *pressed >= batch.lid_since ? std::min(by_time, *pressed) : by_time;
}

}  // namespace

std::vector<Moment> moments_after_peak(const Batch& batch, const Household& household) {
  std::vector<Moment> moments;
  if (batch.ended) return moments;
  const Notice& notice = household.plan().notice;
  const Ageing* ageing = household.ageing(batch);
  if (batch.in_fridge && ageing != nullptr) add_dates(moments, batch, *ageing, notice);
  if (const LidWatch* lid = household.lid_watch(batch)) {
    moments.push_back(of_jar(batch.jar(), Happening::vent_lid, vent_due(batch, *lid, notice),
                             batch.lid_since, batch.number));
  }
  return moments;
}

std::vector<Moment> moments_of(const PlannedJar& jar, const Household& household) {
  std::vector<Moment> moments;
  if (const auto& due = household.kitchen().care(jar.id).wash_due) {
    moments.push_back(of_jar(jar.id, Happening::wash_jar, due->at, due->at, due->fact));
  }
  return moments;
}

}  // namespace wheymark
