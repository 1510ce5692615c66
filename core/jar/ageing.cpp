#include "core/jar/ageing.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/check.hpp"
#include "core/jar/vessel.hpp"
#include "core/jar/walk.hpp"
#include "core/kinetics/cold_storage.hpp"
#include "core/kinetics/heat.hpp"

namespace wheymark {
namespace {

constexpr double room_without_thermometer_c = 20.0;
constexpr double ageing_panel_h_max = 1.0;
// Less than this beyond the calendar is rounding, or a bottle carried to the door.
constexpr double older_than_calendar_h = 1.0;
// The first day does not show how a fridge is: its rate is drawn towards that of 4 degC.
constexpr double rate_settles_h = 24.0;

double hours_of(std::chrono::days days) {
  return 24.0 * static_cast<double>(days.count());
}

}  // namespace

Ageing::Ageing(const Batch& batch, const HouseholdSetup& setup, const Parameters& parameters)
    : setup_(&setup),
      parameters_(&parameters),
      stored_(batch.stored.front().at),
      milk_ml_(*batch.start.milk_ml),
      now_{stored_, Celsius(cold_reference_c), 0.0},
      best_by_{hours_of(best_by_after), std::nullopt},
      last_day_{hours_of(last_day_after), std::nullopt} {}

std::optional<Celsius> Ageing::without_readings(const PlaceId& id) const {
  const PlaceSetup* place = setup_->place(id);
  const bool fridge = place == nullptr || place->kind == PlaceKind::fridge;
  // A thermometer that has sent nothing yet may do so; until then it is as if there were none.
  return Celsius(fridge ? cold_reference_c : room_without_thermometer_c);
}

// Simpson's rule over the bottle's own temperature, which is exact at the three points.
Ageing::State Ageing::aged(State from, const RoomStretch& stretch, const Stay& stay) const {
  const double hours = hours_between(stretch.from, stretch.to);
  if (hours <= 0.0) return from;
  const double tau_h = time_constant_h(*setup_, stay.jar, milk_ml_, *parameters_);
  const KelvinDifference per_h = (1.0 / hours) * (stretch.at_to - stretch.at_from);
  const auto kefir_after = [&](double h) {
    return milk_after(from.kefir, stretch.at_from, stretch.at_from + h * per_h, h, tau_h);
  };
  const auto panels = static_cast<int>(std::ceil(hours / ageing_panel_h_max));
  const double panel_h = hours / panels;
  const auto rate_after = [&](double h) { return ageing_rate(kefir_after(h), *parameters_); };
  double aged_h = from.aged_h;
  for (int panel = 0; panel < panels; ++panel) {
    const double begins = panel_h * panel;
    aged_h += panel_h / 6.0 *
              (rate_after(begins) + 4.0 * rate_after(begins + 0.5 * panel_h) +
               rate_after(begins + panel_h));
  }
  return {stretch.to, kefir_after(hours), aged_h};
}

void Ageing::follow(const Batch& batch, const AirOf& air) {
  const auto otherwise = [this](const PlaceId& place) { return without_readings(place); };
  const auto mark_reached = [](Mark& mark, const State& from, const State& to) {
    if (mark.reached || !(to.aged_h >= mark.age_h)) return;
    const double share = (mark.age_h - from.aged_h) / (to.aged_h - from.aged_h);
    mark.reached = after_hours(from.at, share * hours_between(from.at, to.at));
  };
  walk(batch, air, otherwise, now_.at, walk_settles_at(batch, air, otherwise, now_.at),
       [&](const RoomStretch& stretch, const Stay& stay) {
         const State next = aged(now_, stretch, stay);
         mark_reached(best_by_, now_, next);
         mark_reached(last_day_, now_, next);
         now_ = next;
       });
}

double Ageing::hours_at(const Batch& batch, const AirOf& air, Instant now) const {
  const auto otherwise = [this](const PlaceId& place) { return without_readings(place); };
  State state = now_;
  walk(batch, air, otherwise, now_.at, now,
       [&](const RoomStretch& stretch, const Stay& stay) { state = aged(state, stretch, stay); });
  return state.aged_h;
}

bool Ageing::older_than_calendar() const {
  return now_.aged_h > hours_between(stored_, now_.at) + older_than_calendar_h;
}

Instant Ageing::reaches(const Mark& mark) const {
  const Instant calendar = after_hours(stored_, mark.age_h);
  if (!older_than_calendar())
    return calendar;  // NaN as well: then the calendar is all that is known
  const double rate =
      (now_.aged_h + rate_settles_h) / (hours_between(stored_, now_.at) + rate_settles_h);
  const Instant reached =
      mark.reached.value_or(after_hours(now_.at, (mark.age_h - now_.aged_h) / rate));
  return std::min(calendar, Instant(std::chrono::floor<std::chrono::hours>(reached)));
}

}  // namespace wheymark
