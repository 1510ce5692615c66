#include "core/jar/lid_pressure.hpp"

#include <algorithm>

#include "core/jar/vessel.hpp"
#include "core/kinetics/gas.hpp"

namespace wheymark {
namespace {

constexpr double kpa_per_bar = 100.0;

}  // namespace

LidPressure::LidPressure(const Batch& batch, const HouseholdSetup& setup,
                         const Parameters& parameters)
    : setup_(&setup),
      parameters_(&parameters),
      milk_ml_(*batch.start.milk_ml),
      closed_at_(batch.lid_since) {}

// As far as it fits: of older journals it is not known what was drunk in between.
double LidPressure::kefir_ml(const Batch& batch) const {
  return std::min(batch.ml_now(), room_ml(batch));
}

double LidPressure::room_ml(const Batch& batch) const {
  return capacity_ml(*setup_, batch.jar(), std::min(batch.ml_now(), milk_ml_));
}

// From the pour on: with the grains, then without, and of the sugar that was added.
double LidPressure::formed_g_per_l(const Batch& batch, const Condition& then,
                                   std::span<const SugarAdded> sugar, Fizz fizz) const {
  const Start& start = batch.start;
  const Brew brew{*start.milk, *start.treatment, *start.milk_ml, *start.grain_g};
  double formed = carbon_dioxide_g_per_l(then.gas_clock_h, brew, *parameters_) +
                  kept_carbon_dioxide_g_per_l(then.cold_days(), fizz, *parameters_);
  for (const SugarAdded& added : sugar) {
    const double days = std::max(0.0, then.cold_clock_h - added.cold_clock_h) / 24.0;
    formed += sugar_carbon_dioxide_g_per_l(added.g_per_l, days, fizz, *parameters_);
  }
  return formed;
}

double LidPressure::kpa(const Batch& batch, const Condition& closed, const Condition& then,
                        std::span<const SugarAdded> sugar, Fizz fizz) const {
  const double shut_in_g_per_l =
      formed_g_per_l(batch, then, sugar, fizz) - formed_g_per_l(batch, closed, sugar, fizz);
  return kpa_per_bar * tight_jar_gauge_bar(shut_in_g_per_l, kefir_ml(batch), room_ml(batch),
                                           then.milk, *parameters_);
}

void LidPressure::add(const Batch& batch, const Condition& closed, const Condition& then,
                      std::span<const SugarAdded> sugar) {
  if (pressed_since_) return;
  if (kpa(batch, closed, then, sugar, Fizz::quick) > vent_above_kpa) pressed_since_ = then.at;
}

}  // namespace wheymark
