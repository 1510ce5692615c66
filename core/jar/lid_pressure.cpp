#include "core/jar/lid_pressure.hpp"

#include <algorithm>

#include "core/jar/vessel.hpp"
#include "core/jar/walk.hpp"
#include "core/kinetics/gas.hpp"

namespace wheymark {
LidPressure::LidPressure(const Batch& batch, const HouseholdSetup& setup,
                         const Parameters& parameters)
    : setup_(&setup),
      parameters_(&parameters),
      milk_ml_(*batch.start.milk_ml),
      now_{batch.started, Celsius(*batch.start.milk_c), 0.0, 0.0} {}

Condition LidPressure::next(const Condition& from, const RoomStretch& stretch,
                            const Stay& stay) const {
  const double tau_h = time_constant_h(*setup_, stay.jar, milk_ml_, *parameters_);
  return advanced(from, stretch, tau_h, *parameters_);
}

Condition LidPressure::propagated(Condition from, const Batch& batch, const AirOf& air,
                                  Instant until) const {
  walk(batch, air, wait_for_readings, from.at, until,
       [&](const RoomStretch& stretch, const Stay& stay) { from = next(from, stretch, stay); });
  return from;
}

// With what was poured on, as far as it fits: what was drunk in between, nobody has reported.
double LidPressure::kefir_ml(const Batch& batch) const {
  double kefir_ml = milk_ml_;
  for (const Mixed& mixed : batch.mixed) kefir_ml += mixed.milk_ml;
  return std::min(kefir_ml, capacity_ml(*setup_, batch.jar(), milk_ml_));
}

double LidPressure::kpa_of(const Batch& batch, const Condition& condition,
                           double gas_clock_at_closing_h) const {
  const Brew brew{*batch.start.milk, *batch.start.treatment, milk_ml_, *batch.start.grain_g};
  const double shut_in_g_per_l = carbon_dioxide_g_per_l(condition.gas_clock_h, brew, *parameters_) -
                                 carbon_dioxide_g_per_l(gas_clock_at_closing_h, brew, *parameters_);
  constexpr double kpa_per_bar = 100.0;
  return kpa_per_bar * tight_jar_gauge_bar(shut_in_g_per_l, kefir_ml(batch),
                                           capacity_ml(*setup_, batch.jar(), milk_ml_),
                                           condition.milk, *parameters_);
}

void LidPressure::follow(const Batch& batch, const AirOf& air) {
  if (batch.lid_since != closed_at_) {
    closed_at_ = batch.lid_since;
    gas_clock_at_closing_h_.reset();
    pressed_since_.reset();
  }
  const Instant until = walk_settles_at(batch, air, wait_for_readings, now_.at);
  if (until < closed_at_) {
    now_ = propagated(now_, batch, air, until);
    return;
  }
  if (!gas_clock_at_closing_h_) {
    now_ = propagated(now_, batch, air, closed_at_);
    if (now_.at < closed_at_) return;
    gas_clock_at_closing_h_ = now_.gas_clock_h;
  }
  walk(batch, air, wait_for_readings, now_.at, until,
       [&](const RoomStretch& stretch, const Stay& stay) {
         now_ = next(now_, stretch, stay);
         const bool too_much = batch.lid == Lid::tight &&
                               kpa_of(batch, now_, *gas_clock_at_closing_h_) > vent_above_kpa;
         if (too_much && !pressed_since_) pressed_since_ = now_.at;
       });
}

std::optional<double> LidPressure::kpa(const Batch& batch, const AirOf& air, Instant now) const {
  if (batch.lid != Lid::tight) return std::nullopt;
  const double at_closing_h =
      gas_clock_at_closing_h_.value_or(propagated(now_, batch, air, closed_at_).gas_clock_h);
  const Condition then = propagated(now_, batch, air, now);
  if (then.at < now) return std::nullopt;
  return kpa_of(batch, then, at_closing_h);
}

}  // namespace wheymark
