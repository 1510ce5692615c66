#include "core/forecast/clock_ahead.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

constexpr double step_h = 1.0 / 12.0;
constexpr std::size_t steps_an_hour = 12;
constexpr double lag_sds = 2.0;

// Second moments of the deviations of air (a), milk (m) and clock (c) from what is expected.
struct Doubt {
  double aa = 0.0, am = 0.0, mm = 0.0, ac = 0.0, mc = 0.0, cc = 0.0;

  // One step: the air keeps `kept` of its deviation and gains `noise_k2`; the milk keeps
  // `milk_kept` of its own and takes the rest from the air; the clock gains `rate_slope` for each
  // kelvin.
  void step(double kept, double noise_k2, double milk_kept, double rate_slope) {
    const double taken = 1.0 - milk_kept;
    const double g = rate_slope * step_h;
    const Doubt p = *this;
    aa = kept * kept * p.aa + noise_k2;
    am = kept * (milk_kept * p.am + taken * p.aa);
    mm = milk_kept * milk_kept * p.mm + 2.0 * milk_kept * taken * p.am + taken * taken * p.aa;
    ac = kept * (p.ac + g * p.am);
    mc = milk_kept * (p.mc + g * p.mm) + taken * (p.ac + g * p.am);
    cc = p.cc + 2.0 * g * p.mc + g * g * p.mm;
  }
};

}  // namespace

ClockAhead::ClockAhead(const Condition& now, const AirAhead& air, double tau_h,
                       const RateTable& rates, double enough_h)
    : from_(now.at), milk_c_(now.milk.degrees()) {
  // The exact milk of heat.hpp for one step in a linear room.
  const double x = step_h / tau_h;
  const double milk_kept = std::exp(-x);
  const double mean_gone = -std::expm1(-x) / x;
  const double kept = std::exp(-step_h / air_relaxes_h);
  const double noise_k2 = air.sd_k * air.sd_k * (1.0 - kept * kept);

  Doubt doubt;
  doubt.aa = doubt.am = doubt.mm = air.doubt_k * air.doubt_k;
  double clock_h = now.acid_clock_h;
  RateTable::Rate rate = rates.at(milk_c_);
  points_.reserve(1024);
  points_.push_back({clock_h, 0.0});
  // The air is linear within each hour.
  double room_c = air.at(now.at).degrees();
  const auto hours = static_cast<std::size_t>(limits::forecast_ahead_max.count());
  for (std::size_t hour = 1; hour <= hours; ++hour) {
    const double room_next_c = air.at(now.at + std::chrono::hours{hour}).degrees();
    const double room_step_k = (room_next_c - room_c) / static_cast<double>(steps_an_hour);
    for (std::size_t i = 0; i < steps_an_hour; ++i) {
      const double room_end_c = room_c + room_step_k;
      milk_c_ = room_end_c + milk_kept * (milk_c_ - room_c) - mean_gone * room_step_k;
      room_c = room_end_c;
      const RateTable::Rate rate_end = rates.at(milk_c_);
      clock_h += 0.5 * step_h * (rate.per_h + rate_end.per_h);
      doubt.step(kept, noise_k2, milk_kept, rate_end.per_h_per_k);
      rate = rate_end;
      points_.push_back({clock_h, doubt.cc});
    }
    if (clock_h - lag_sds * points_.back().sd_h() >= enough_h) return;
  }
}

}  // namespace wheymark
