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

// With what was poured on, as far as it fits: what was drunk in between, nobody has reported.
double LidPressure::kefir_ml(const Batch& batch) const {
  double kefir_ml = milk_ml_;
  for (const Mixed& mixed : batch.mixed) kefir_ml += mixed.milk_ml;
  return std::min(kefir_ml, capacity_ml(*setup_, batch.jar(), milk_ml_));
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
  return kpa_per_bar * tight_jar_gauge_bar(shut_in_g_per_l, kefir_ml(batch),
                                           capacity_ml(*setup_, batch.jar(), milk_ml_), then.milk,
                                           *parameters_);
}

void LidPressure::add(const Batch& batch, const Condition& closed, const Condition& then,
                      std::span<const SugarAdded> sugar) {
  if (pressed_since_) return;
  if (kpa(batch, closed, then, sugar, Fizz::quick) > vent_above_kpa) pressed_since_ = then.at;
}

}  // namespace wheymark
