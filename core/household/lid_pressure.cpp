#include "core/household/lid_pressure.hpp"

#include <algorithm>

#include "core/household/household.hpp"
#include "core/kinetics/gas.hpp"

namespace wheymark {
namespace {

constexpr double kpa_per_bar = 100.0;

}  // namespace

std::optional<double> lid_pressure_kpa(const Household& household, const Batch& batch,
                                       const Condition& condition) {
  if (batch.lid != Lid::tight) return std::nullopt;
  const PlannedJar* jar = household.plan().jar(batch.jar());
  if (jar == nullptr) return std::nullopt;
  const Start& start = batch.start;
  const double gas_g_per_l = carbon_dioxide_g_per_l(
      condition.gas_clock_h, {*start.milk, *start.treatment, *start.milk_ml, *start.grain_g},
      household.parameters());
  return kpa_per_bar * tight_jar_gauge_bar(gas_g_per_l, *start.milk_ml, jar->capacity_ml,
                                           condition.milk, household.parameters());
}

}  // namespace wheymark
