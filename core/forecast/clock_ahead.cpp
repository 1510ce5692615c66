#include "core/forecast/clock_ahead.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

constexpr double propagation_step_h = 1.0 / 12.0;
constexpr std::size_t steps_an_hour = 12;
constexpr std::size_t points_usual = 1500;  // five days: reallocating costs as much as a day
constexpr double lag_sds = 2.0;
constexpr double never = std::numeric_limits<double>::infinity();
constexpr std::size_t steps_max =
    steps_an_hour * static_cast<std::size_t>(limits::forecast_ahead_max.count());

}  // namespace

// One step: the air keeps `kept` of its deviation and gains `noise_k2`; the milk keeps
// `milk_kept` of its own and takes the rest from the air; the clock gains `rate_slope` for each
// kelvin.
void ClockAhead::Doubt::step(double kept, double noise_k2, double milk_kept, double rate_slope) {
  const double taken = 1.0 - milk_kept;
  const double g = rate_slope * propagation_step_h;
  const Doubt p = *this;
  aa = kept * kept * p.aa + noise_k2;
  am = kept * (milk_kept * p.am + taken * p.aa);
  mm = milk_kept * milk_kept * p.mm + 2.0 * milk_kept * taken * p.am + taken * taken * p.aa;
  ac = kept * (p.ac + g * p.am);
  mc = milk_kept * (p.mc + g * p.mm) + taken * (p.ac + g * p.am);
  cc = p.cc + 2.0 * g * p.mc + g * g * p.mm;
}

bool ClockAhead::propagate(const AirAhead& air, double tau_h, const RateTable& rates,
                           double enough_h, std::size_t steps, Doubt& doubt) {
  // The exact milk of heat.hpp for one step in a linear room.
  const double x = propagation_step_h / tau_h;
  const double milk_kept = std::exp(-x);
  const double mean_gone = -std::expm1(-x) / x;
  const double kept = std::exp(-propagation_step_h / air_relaxes_h);
  const double noise_k2 = air.sd_k * air.sd_k * (1.0 - kept * kept);

  const Instant began = from_ + step * static_cast<int>(points_.size() - 1);
  // Copies, since the compiler cannot know that a new point changes none of them.
  Doubt moments = doubt;
  double clock_h = points_.back().clock_h;
  RateTable::Rate rate = rates.at(milk_c_);
  // The air is linear within each hour.
  AirHourByHour room(air, began);
  double room_c = room.next_c();
  double milk_above_k = milk_c_ - room_c;
  bool enough = false;
  while (steps > 0 && !enough) {
    const double room_step_k = (room.next_c() - room_c) / static_cast<double>(steps_an_hour);
    const double lag_k = mean_gone * room_step_k;
    const std::size_t steps_now = std::min(steps, steps_an_hour);
    points_.resize(points_.size() + steps_now);
    for (Point& point : std::span(points_).last(steps_now)) {
      room_c += room_step_k;
      milk_above_k = milk_kept * milk_above_k - lag_k;
      const RateTable::Rate rate_end = rates.at(room_c + milk_above_k);
      clock_h += 0.5 * propagation_step_h * (rate.per_h + rate_end.per_h);
      moments.step(kept, noise_k2, milk_kept, rate_end.per_h_per_k);
      rate = rate_end;
      point = {clock_h, moments.cc};
    }
    steps -= steps_now;
    enough = clock_h - lag_sds * points_.back().sd_h() >= enough_h;
  }
  doubt = moments;
  milk_c_ = room_c + milk_above_k;
  return enough;
}

ClockAhead::ClockAhead(const Condition& now, const AirAhead& air, double tau_h,
                       const RateTable& rates, double enough_h)
    : from_(now.at), milk_c_(now.milk.degrees()) {
  points_.reserve(points_usual);
  points_.push_back({now.acid_clock_h, 0.0});
  Doubt doubt;
  doubt.aa = doubt.am = doubt.mm = air.doubt_k * air.doubt_k;
  propagate(air, tau_h, rates, enough_h, steps_max, doubt);
}

ClockAhead::ClockAhead(const Condition& now, std::span<const StayAhead> stays,
                       const RateTable& rates, double enough_h)
    : from_(now.at), milk_c_(now.milk.degrees()) {
  points_.reserve(points_usual);
  points_.push_back({now.acid_clock_h, 0.0});
  Doubt doubt;
  for (std::size_t i = 0; i < stays.size(); ++i) {
    const AirAhead& air = stays[i].air;
    const std::size_t gone = points_.size() - 1;
    const Instant began = from_ + step * static_cast<int>(gone);
    // This air is another one: its deviation is independent of what the jar has been through.
    const double unread_h = std::max(0.0, hours_between(air.from, began));
    const double kept = std::exp(-unread_h / air_relaxes_h);
    doubt.am = doubt.ac = 0.0;
    doubt.aa = air.sd_k * air.sd_k * (1.0 - kept * kept) + air.doubt_k * air.doubt_k;
    std::size_t until = steps_max;
    if (i + 1 < stays.size()) {
      const double move = hours_between(from_, stays[i + 1].from) / propagation_step_h;
      until = static_cast<std::size_t>(std::clamp(std::round(move), 0.0, double{steps_max}));
    }
    if (until <= gone) continue;
    const bool is_last = i + 1 == stays.size();
    // Each stay but the last runs to its end, also past enough: an earlier end would be another
    // way.
    if (propagate(air, stays[i].tau_h, rates, is_last ? enough_h : never, until - gone, doubt))
      return;
  }
}

}  // namespace wheymark
