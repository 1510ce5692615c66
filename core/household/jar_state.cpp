#include "core/household/jar_state.hpp"

#include <algorithm>

#include "core/household/household.hpp"
#include "core/household/not_souring.hpp"
#include "core/household/stored_kefir.hpp"

namespace wheymark {
namespace {

// The peak opens and closes when the forecast says so, as in every event. Before it, the clock
// shows how far the milk has come.
Stage stage_of_forecast(const Forecast& forecast, double grown_h, const Milestones& milestones,
                        Instant now) {
  const auto& opens = forecast.peak_opens.p50;
  const auto& closes = forecast.peak_closes.p50;
  if (closes && *closes <= now) return Stage::over_fermented;
  if (opens && *opens <= now) return Stage::peak;
  if (grown_h >= milestones.set_h) return Stage::set;
  if (grown_h >= milestones.thickened_h) return Stage::thickened;
  return Stage::working;
}

Stage stage_of_sign(Sign sign) {
  switch (sign) {
    case Sign::still_milk:
      return Stage::working;
    case Sign::thickened:
      return Stage::thickened;
    case Sign::set:
      return Stage::set;
    case Sign::whey_pockets:
      return Stage::peak;
    case Sign::whey_layer:
    case Sign::separated:
      return Stage::over_fermented;
  }
  return Stage::working;
}

// Elsewhere the air is assumed, and a milk that follows it would be made up.
bool is_read(const PlaceId& place, const Household& household) {
  const TemperatureHistory* history = household.places().history(place);
  return history != nullptr && history->last();
}

void add_progress(JarState& state, const Fermentation& fermentation, double grown_h, Instant now) {
  const Milestones milestones = fermentation.milestones();
  state.forecast = fermentation.forecast().value_or(Forecast{});
  state.stage = std::max(state.stage, stage_of_forecast(state.forecast, grown_h, milestones, now));
  const double percent = 100.0 * grown_h / milestones.peak_opens_h;
  state.progress_percent =
      state.stage < Stage::peak ? std::min(percent, 100.0) : std::max(percent, 100.0);
  if (const auto opens = state.forecast.peak_opens.p50) {
    state.hours_to_peak = hours_between(now, *opens);
  }
}

Stage stage_in_fridge(const StoredKefir& bottle, const LeadTimes& lead_times, Instant now) {
  if (now >= bottle.best_by) return Stage::past_best;
  if (hours_between(now, bottle.best_by) <= 24.0 * lead_times.best_by_near_d)
    return Stage::use_soon;
  return Stage::fridge;
}

}  // namespace

Sign latest_seen(const Batch& batch) {
  Sign latest = Sign::still_milk;
  for (const Observation& seen : batch.observations) {
    if (const Sign* sign = std::get_if<Sign>(&seen.what)) latest = std::max(latest, *sign);
  }
  return latest;
}

std::optional<Instant> first_seen(const Batch& batch, Sign sign) {
  for (const Observation& seen : batch.observations) {
    const Sign* what = std::get_if<Sign>(&seen.what);
    if (what != nullptr && *what >= sign) return seen.at;
  }
  return std::nullopt;
}

JarState jar_state(const Household& household, const JarId& jar, Instant now) {
  JarState state;
  state.batch = household.book().in_jar(jar);
  state.suspicion = household.book().suspicion(jar);
  if (state.batch == nullptr) {
    if (state.suspicion != nullptr) state.stage = Stage::suspect;
    return state;
  }
  const Batch& batch = *state.batch;

  const Fermentation* fermentation = household.fermentation(batch);
  const auto condition = household.condition(batch, now);
  if (fermentation != nullptr && condition) {
    const AcidState acid = fermentation->acid(*condition);
    if (is_read(batch.place(), household)) state.milk_c = condition->milk.degrees();
    state.ph = acid.ph;
    state.acidity_percent = acid.acidity_percent;
  }
  state.pressure_kpa = household.pressure_kpa(batch, now);
  if (batch.strained) state.kefir_ml = batch.ml_now();
  if (state.suspicion != nullptr) {
    state.stage = Stage::suspect;
    return state;
  }
  if (!batch.stored.empty()) state.kept = stored_kefir(household, batch, now);
  state.left_out = household.left_out(batch);
  state.not_souring = not_souring(household, batch).has_value();
  if (batch.in_fridge) {
    state.stage = stage_in_fridge(*state.kept, household.setup().lead_times, now);
  } else if (batch.strained) {
    state.stage = batch.in_second ? Stage::second : Stage::strained;
  } else if (state.not_souring) {
    state.stage = Stage::working;  // and nothing is forecast of plain milk
  } else {
    state.stage = stage_of_sign(latest_seen(batch));
    if (fermentation != nullptr && condition)
      add_progress(state, *fermentation, fermentation->grown_h(*condition), now);
  }
  return state;
}

}  // namespace wheymark
