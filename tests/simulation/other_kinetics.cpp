#include "tests/simulation/other_kinetics.hpp"

#include <algorithm>
#include <cmath>

namespace wheymark::simulation {
namespace {

constexpr double ph_start = 6.65;
constexpr double reference_c = 22.0;
constexpr double usual_load = 20.0 / 950.0;
constexpr double step_h = 1.0 / 60.0;
constexpr int steps_a_ph = 10;
constexpr double followed_h = 120.0;

// Shares of the fall in pH after so many hours of which `steepest_h` belong to the steepest slope.
double gompertz(double hours, double lag_h, double steepest_per_h) {
  return std::exp(-std::exp(steepest_per_h * std::numbers::e * (lag_h - hours) + 1.0));
}
double logistic(double hours, double lag_h, double steepest_per_h) {
  return 1.0 / (1.0 + std::exp(4.0 * steepest_per_h * (lag_h - hours) + 2.0));
}

class Curve {
 public:
  explicit Curve(const TrueGrains& grains)
      : grains_(grains), lag_h_(grains.lag_share * grains.hours_to_open) {
    // The slope that brings it to pH 4.5 at hours_to_open, by halving.
    double slow = 0.001;
    double fast = 2.0;
    for (int i = 0; i < 60; ++i) {
      slope_per_h_ = 0.5 * (slow + fast);
      (ph(grains.hours_to_open) > 4.5 ? slow : fast) = slope_per_h_;
    }
  }
  [[nodiscard]] double ph(double hours) const {
    const double fallen = grains_.gompertz ? gompertz(hours, lag_h_, slope_per_h_)
                                           : logistic(hours, lag_h_, slope_per_h_);
    return ph_start - (ph_start - grains_.ph_end) * fallen;
  }

 private:
  const TrueGrains& grains_;
  double lag_h_;
  double slope_per_h_ = 0.0;
};

double ratkowsky(double celsius, double no_growth_c) {
  const double root = std::max(0.0, celsius - no_growth_c) / (reference_c - no_growth_c);
  return root * root;
}

}  // namespace

TrueGrains TrueGrains::drawn(Dice& dice) {
  TrueGrains g{};
  g.gompertz = dice.happens(0.5);
  g.hours_to_open = 15.5 * std::exp(dice.normal(0.0, 0.28));
  g.lag_share = dice.even(0.30, 0.50);
  g.ph_end = dice.normal(3.95, 0.05);
  g.no_growth_c = dice.even(1.0, 6.0);
  g.load_power = dice.even(0.12, 0.35);
  g.tau_h = dice.even(1.6, 3.4);
  g.batch_log_sd = dice.even(0.03, 0.06);
  g.drift_log_sd = dice.even(0.0, 0.015);
  g.thickened_ph = dice.normal(5.25, 0.06);
  g.set_ph = dice.normal(4.78, 0.05);
  g.opens_ph = dice.normal(4.50, 0.04);
  g.closes_ph = dice.normal(4.23, 0.04);
  g.threshold_sd_ph = dice.even(0.01, 0.03);
  return g;
}

Sign TrueBatch::shows(Instant instant) const {
  if (instant >= closes) return Sign::whey_layer;
  if (instant >= opens) return Sign::whey_pockets;
  if (instant >= set) return Sign::set;
  if (instant >= thickened) return Sign::thickened;
  return Sign::still_milk;
}

double TrueBatch::ph_at(Instant instant) const {
  const double place = hours_between(started, instant) / (step_h * steps_a_ph);
  return ph[std::min(ph.size() - 1, static_cast<std::size_t>(std::max(0.0, place)))];
}

TrueBatch fermented(const TrueGrains& grains, double speed, double grain_g, double milk_ml,
                    double milk_c, const AirThen& air, Instant started, Dice& dice) {
  const Curve curve(grains);
  const double by_load = std::pow(grain_g / milk_ml / usual_load, grains.load_power);
  const double tau_h = grains.tau_h * std::cbrt(milk_ml / 950.0);
  const auto threshold = [&](double ph) { return ph + dice.normal(0.0, grains.threshold_sd_ph); };
  const double thickened_ph = threshold(grains.thickened_ph);
  const double set_ph = threshold(grains.set_ph);
  const double opens_ph = threshold(grains.opens_ph);
  const double closes_ph = threshold(grains.closes_ph);

  TrueBatch batch{started, {}, {}, {}, {}, {}};
  double hours = 0.0;  // at the reference temperature
  double milk = milk_c;
  bool passed[4] = {false, false, false, false};
  const auto pass = [&](int which, double ph, double threshold_ph, Instant at, Instant& when) {
    if (passed[which] || ph > threshold_ph) return;
    passed[which] = true;
    when = at;
  };
  const Instant end = after_hours(started, followed_h);
  batch.thickened = batch.set = batch.opens = batch.closes = end;
  for (int i = 0; i < static_cast<int>(followed_h / step_h) && !passed[3]; ++i) {
    const Instant at = after_hours(started, i * step_h);
    const double ph = curve.ph(hours);
    if (i % steps_a_ph == 0) batch.ph.push_back(ph);
    pass(0, ph, thickened_ph, at, batch.thickened);
    pass(1, ph, set_ph, at, batch.set);
    pass(2, ph, opens_ph, at, batch.opens);
    pass(3, ph, closes_ph, at, batch.closes);
    milk += (air(at) - milk) * step_h / tau_h;
    hours += step_h * speed * by_load * ratkowsky(milk, grains.no_growth_c);
  }
  return batch;
}

}  // namespace wheymark::simulation
