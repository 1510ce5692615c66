// Occurrences after the peak: a bottle's dates, its lid, the jar's washing.
#include <algorithm>
#include <cstdint>

#include "core/announce/occurrence_ids.hpp"
#include "core/announce/occurrences.hpp"
#include "core/household/household.hpp"
#include "core/household/not_souring.hpp"
#include "core/household/stored_kefir.hpp"

namespace wheymark {
namespace {

Instant some_days_before(Instant instant, double days) {
  return after_hours(instant, -24.0 * days);
}

// Wherever the bottle stands now: on the table its dates only come sooner. A date that moves closer
// because it was warm is news only once a reading shows it; what had passed when its storing was
// told was told with that.
void add_dates(std::vector<Occurrence>& occurrences, const Batch& batch, const Ageing& ageing,
               const LeadTimes& lead_times) {
  const Instant stored = batch.stored.front().at;
  const auto add = [&](EventKind kind, Instant time) {
    if (time <= batch.stored.back().told_at) return;
    occurrences.push_back(of_jar(batch.jar(), kind, std::max(time, ageing.settled_at()), stored,
                                 batch.stored.front().fact));
  };
  const Instant best_by = ageing.reaches_best_by();
  const Instant last_day = ageing.reaches_last_day();
  add(EventKind::best_by_near, some_days_before(best_by, lead_times.best_by_near_d));
  add(EventKind::best_by_passed, best_by);
  add(EventKind::last_day_near, some_days_before(last_day, lead_times.last_day_near_d));
  add(EventKind::last_day_passed, last_day);
}

// Milk that does not sour, kefir that is left on the table.
void add_warm_milk(std::vector<Occurrence>& occurrences, const Batch& batch,
                   const Household& household) {
  if (const auto plain_milk = not_souring(household, batch)) {
    occurrences.push_back(of_jar(batch.jar(), EventKind::not_souring, plain_milk->seen.at,
                                 batch.started, batch.number));
  }
  if (const auto out = household.left_out(batch)) {
    // Once when it is too long, once when it is too old: the second goes by the first.
    const auto add = [&](Instant time, Instant since) {
      occurrences.push_back(of_jar(batch.jar(), EventKind::left_out, time, since, batch.origin()));
    };
    add(out->too_long, out->since);
    add(out->too_old, out->since + std::chrono::seconds{1});
  }
}

// Each day again while a second fermentation presses: the last time that has come, and the next.
void add_vents(std::vector<Occurrence>& occurrences, const Batch& batch,
               const RunningBatch& running, Instant first) {
  const auto add = [&](std::int64_t day) {
    const std::chrono::days later{day};
    occurrences.push_back(of_jar(batch.jar(), EventKind::vent_lid, first + later,
                                 batch.lid_since + later, batch.origin()));
  };
  if (!batch.in_second) return add(0);
  const std::int64_t days =
      std::max<std::int64_t>(0, (running.settled_at() - first) / std::chrono::days{1});
  add(days);
  add(days + 1);
}

void add_second(std::vector<Occurrence>& occurrences, const Batch& batch, Instant ready) {
  const Sweetened& begun = batch.sweetened.back();
  const auto add = [&](EventKind kind, Instant time) {
    occurrences.push_back(of_jar(batch.jar(), kind, time, begun.at, begun.fact));
  };
  add(EventKind::second_begun, begun.at);
  add(EventKind::second_ready, ready);
}

}  // namespace

// After a day on the counter, after some days in the fridge, or once the gas presses, whichever is
// first.
std::optional<Instant> lid_is_due(const Batch& batch, const Household& household) {
  const RunningBatch* running = household.running(batch);
  const LidPressure* lid = running == nullptr ? nullptr : running->lid_pressure();
  if (batch.ended || lid == nullptr) return std::nullopt;
  const double patience_h =
      batch.in_fridge ? vent_in_fridge_after_h : household.setup().lead_times.vent_after_h;
  const Instant by_time = after_hours(batch.lid_since, patience_h);
  const auto pressed = lid->pressed_since();
  return pressed && *pressed >= batch.lid_since ? std::min(by_time, *pressed) : by_time;
}

std::vector<Occurrence> occurrences_after_peak(const Batch& batch, const Household& household) {
  std::vector<Occurrence> occurrences;
  const RunningBatch* running = household.running(batch);
  // Of kefir whose bottle nobody has named, it is not known how it stands.
  if (batch.ended || batch.without_bottle || running == nullptr) return occurrences;
  const LeadTimes& lead_times = household.setup().lead_times;
  const Ageing* ageing = running->ageing();
  const Suspicion* suspicion = household.book().suspicion(batch);
  if (suspicion != nullptr && !suspicion->in_grains) {
    const FactRef& told = suspicion->told;
    occurrences.push_back(
        of_jar(batch.jar(), EventKind::discard_kefir, told.at, told.at, told.fact));
  }
  // What must be thrown out has no date. Its lid may still press.
  if (suspicion == nullptr) {
    add_warm_milk(occurrences, batch, household);
    if (ageing != nullptr) add_dates(occurrences, batch, *ageing, lead_times);
  }
  if (const auto due = lid_is_due(batch, household)) add_vents(occurrences, batch, *running, *due);
  if (batch.in_second && suspicion == nullptr) {
    add_second(occurrences, batch, running->second_ready(batch, household.places().air_of()));
  }
  return occurrences;
}

std::vector<Occurrence> occurrences_of(const JarSetup& jar, const Household& household) {
  std::vector<Occurrence> occurrences;
  if (const auto& due = household.book().care(jar.id).wash_due) {
    occurrences.push_back(of_jar(jar.id, EventKind::wash_jar, due->at, due->at, due->fact));
  }
  return occurrences;
}

}  // namespace wheymark
