#include "plugin/tile/day.hpp"

#include <algorithm>

#include "core/kinetics/heat.hpp"

namespace wheymark {
namespace {

using namespace std::chrono_literals;

constexpr std::chrono::minutes point_spacing{15};
constexpr std::chrono::hours behind{24};
constexpr std::chrono::hours warming{12};  // five time constants: then the beginning is forgotten
constexpr std::chrono::hours ahead_min{6};
constexpr std::chrono::hours ahead_max{30};

Instant quarter_before(Instant instant) {
  return std::chrono::floor<std::chrono::duration<std::int64_t, std::ratio<900>>>(instant);
}

std::optional<Celsius> air_at(const Household& household, const PlaceId& place, Instant instant) {
  const TemperatureHistory* history = household.places().history(place);
  return history == nullptr ? std::nullopt : history->at(instant);
}

// Only what was measured: neither before the first reading nor after the last.
std::vector<PointOfDay> air_of_day(const Household& household, const Batch& batch, Instant from,
                                   Instant now) {
  std::vector<PointOfDay> points;
  for (Instant at = from; at <= now; at += 2 * point_spacing) {
    const TemperatureHistory* history =
        household.places().history(batch.stays[batch.stay_at(at)].place);
    if (history == nullptr || !history->last()) continue;
    if (at < history->first()->at || at > history->last()->at + 2 * point_spacing) continue;
    points.push_back({at, history->at(at)->degrees()});
  }
  return points;
}

double tau_h(const Household& household, const Batch& batch, const Stay& stay) {
  const JarSetup* jar = household.setup().jar(stay.jar);
  const double milk_ml = *batch.start.milk_ml;
  return jar_time_constant_h(milk_ml, jar == nullptr ? milk_ml : jar->capacity_ml,
                             household.parameters());
}

std::vector<PointOfDay> milk_of_day(const Household& household, const Batch& batch, Instant from,
                                    Instant now) {
  const bool began_within = batch.started >= from - warming;
  Instant at = began_within ? batch.started : from - warming;
  auto air = air_at(household, batch.stays[batch.stay_at(at)].place, at);
  if (!air) return {};
  Celsius milk = began_within ? Celsius(*batch.start.milk_c) : *air;
  std::vector<PointOfDay> points;
  while (at <= now) {
    if (at >= from) points.push_back({at, milk.degrees()});
    const Stay& stay = batch.stays[batch.stay_at(at)];
    const Instant next = quarter_before(at) + point_spacing;
    const auto air_from = air_at(household, stay.place, at);
    const auto air_to = air_at(household, stay.place, next);
    if (!air_from || !air_to) break;
    milk = milk_after(milk, *air_from, *air_to, hours_between(at, next),
                      tau_h(household, batch, stay));
    at = next;
  }
  return points;
}

}  // namespace

std::optional<Day> last_day_of(const Household& household, const JarState& state, Instant now) {
  if (state.batch == nullptr) return std::nullopt;
  Day day;
  day.now = quarter_before(now);
  day.from = day.now - behind;
  day.milk = milk_of_day(household, *state.batch, day.from, day.now);
  day.air = air_of_day(household, *state.batch, day.from, day.now);
  if (day.milk.empty() && day.air.empty()) return std::nullopt;
  day.to = day.now;
  const bool has_come = state.stage >= Stage::peak && state.forecast.peak_opens.p50 > now;
  if (state.forecast.peak_opens.p50 && !has_come) {
    day.peak_opens = state.forecast.peak_opens;
    const Instant latest = day.peak_opens.p90.value_or(*day.peak_opens.p50);
    day.to = day.now + std::clamp(quarter_before(latest) + 1h - day.now, Milliseconds(ahead_min),
                                  Milliseconds(ahead_max));
  }
  return day;
}

}  // namespace wheymark
