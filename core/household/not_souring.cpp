#include "core/household/not_souring.hpp"

#include <fmt/format.h>

namespace wheymark {
namespace {

bool shows_milk(const Observation& seen) {
  if (const Sign* sign = std::get_if<Sign>(&seen.what)) return *sign == Sign::still_milk;
  return std::get<double>(seen.what) > not_sour_above_ph;
}

// Whether it stood warm for so long by then that grains would have soured it.
bool should_be_sour(const Household& household, const Batch& batch, Instant then) {
  // Where it is warmest the clock runs not three times as fast as at room warmth.
  if (hours_between(batch.started, then) < sour_within_h / 3.0) return false;
  const Fermentation* fermentation = household.fermentation(batch);
  if (fermentation == nullptr) return false;
  const auto condition = household.condition(batch, then);
  // Without a thermometer a room is taken as what it mostly is.
  if (!condition) return hours_between(batch.started, then) >= sour_within_h;
  const double a_day_h = sour_within_h * household.rates().at(room_warmth_c).per_h;
  return condition->acid_clock_h >= a_day_h;
}

}  // namespace

std::optional<NotSouring> not_souring(const Household& household, const Batch& batch) {
  std::optional<NotSouring> found;
  for (const Observation& seen : batch.observations) {
    if (!shows_milk(seen)) {
      found.reset();
    } else if (!found && should_be_sour(household, batch, seen.at)) {
      found = NotSouring{seen, hours_between(batch.started, seen.at)};
    }
  }
  return found;
}

std::string remark_on_souring(const FactRecord& record, const Household& household) {
  const auto* sign = std::get_if<SignSeen>(&record.fact);
  const auto* ph = std::get_if<PhMeasured>(&record.fact);
  if (sign == nullptr && ph == nullptr) return "";
  const Batch* batch = household.book().in_jar(sign != nullptr ? sign->jar : ph->jar);
  if (batch == nullptr || batch->started > record.at) return "";
  Observation seen{};
  seen.at = record.at;
  if (sign != nullptr) seen.what = sign->sign;
  if (ph != nullptr) seen.what = ph->ph;
  if (!shows_milk(seen) || !should_be_sour(household, *batch, record.at)) return "";
  return fmt::format(
      "after {:.0f} h in the warm it should be sour: milk that is not is plain milk that stood "
      "warm; do not taste it, throw it out, and follow local food-safety advice",
      hours_between(batch->started, record.at));
}

}  // namespace wheymark
