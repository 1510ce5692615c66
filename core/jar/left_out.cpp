#include "core/jar/left_out.hpp"

#include <algorithm>

#include "core/jar/ageing.hpp"
#include "core/kinetics/cold_storage.hpp"

namespace wheymark {
namespace {

constexpr Celsius room(20.0);

}  // namespace

double on_the_table_cold_h(const Parameters& parameters) {
  return on_the_table_h * ageing_rate(room, parameters);
}

std::optional<Instant> out_of_fridge_since(const Batch& batch, const HouseholdSetup& setup) {
  if (!batch.strained || batch.in_fridge || batch.in_second || batch.ended) return std::nullopt;
  const auto is_fridge = [&](const Stay& stay) {
    const PlaceSetup* place = setup.place(stay.place);
    return place != nullptr && place->kind == PlaceKind::fridge;
  };
  if (is_fridge(batch.stays.back())) return std::nullopt;
  Instant since = batch.strained->at;
  for (std::size_t i = 0; i + 1 < batch.stays.size(); ++i) {
    if (is_fridge(batch.stays[i])) since = std::max(since, batch.stays[i + 1].from);
  }
  return since;
}

OutOfFridge::OutOfFridge(const Condition& then, const Parameters& parameters)
    : since_(then.at),
      too_long_cold_h_(then.cold_clock_h + on_the_table_cold_h(parameters)),
      too_old_cold_h_(then.cold_clock_h + 24.0 * static_cast<double>(last_day_after.count())) {}

void OutOfFridge::add(const Condition& from, const Condition& to) {
  if (!too_long_) too_long_ = cold_clock_passes(too_long_cold_h_, from, to);
  if (!too_old_) too_old_ = cold_clock_passes(too_old_cold_h_, from, to);
}

LeftOut OutOfFridge::going_on_from(const Condition& last, const Parameters& parameters) const {
  const double rate = ageing_rate(last.milk, parameters);
  const auto ahead = [&](double cold_h) {
    return after_hours(last.at, (cold_h - last.cold_clock_h) / rate);
  };
  return {since_, too_long_.value_or(ahead(too_long_cold_h_)),
          too_old_.value_or(ahead(too_old_cold_h_))};
}

}  // namespace wheymark
