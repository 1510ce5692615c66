// How well does the default culture follow a published batch, once its pace is fitted?
//
// One number a set is fitted, the culture's pace; everything else is the default. A starter is
// taken as ripe milk of the default culture: its share of the organisms and of the acid that the
// reference jar (20 g of grains to 950 mL) holds at pH 4.5, and no grains. Temperatures are
// constant.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/acid_formation.hpp"
#include "core/kinetics/temperature_response.hpp"
#include "tests/reference/published.hpp"

namespace wheymark::published {

using PhAtClock = std::function<double(double clock_h)>;

// A batch without grains: classical Runge-Kutta on biomass and acid, which the library, whose
// batches begin with grains, has no need of.
inline PhAtClock starter_curve(MilkKind milk, double share, const Parameters& p) {
  const AcidCurve reference = AcidCurve::solved({MilkKind::cow_whole, {}, 950, 20}, p);
  const AcidState ripe = reference.at(reference.clock_h_at_ph(4.5));
  const AcidFormation formation({milk, Treatment::pasteurised, 1000, 0}, p);
  constexpr double h = 0.05;
  std::array<double, 2> y{share * ripe.biomass_g_per_l, share * ripe.acid_g_per_l};
  const auto slopes = [&](double biomass, double acid) {
    const auto rates = formation.rates(biomass, acid, formation.buffering().ph(acid));
    return std::array{rates.biomass_g_per_l_h, rates.acid_g_per_l_h};
  };
  std::vector<double> ph{formation.buffering().ph(y[1])};
  while (ph.size() < 4000) {  // two hundred hours on the clock
    const auto k1 = slopes(y[0], y[1]);
    const auto k2 = slopes(y[0] + h / 2 * k1[0], y[1] + h / 2 * k1[1]);
    const auto k3 = slopes(y[0] + h / 2 * k2[0], y[1] + h / 2 * k2[1]);
    const auto k4 = slopes(y[0] + h * k3[0], y[1] + h * k3[1]);
    for (std::size_t i = 0; i < 2; ++i) y[i] += h / 6 * (k1[i] + 2 * k2[i] + 2 * k3[i] + k4[i]);
    ph.push_back(formation.buffering().ph(y[1]));
  }
  return [ph](double clock_h) {
    const double place = std::clamp(clock_h / h, 0.0, static_cast<double>(ph.size() - 1));
    const auto left = std::min(static_cast<std::size_t>(place), ph.size() - 2);
    const double s = place - static_cast<double>(left);
    return (1 - s) * ph[left] + s * ph[left + 1];
  };
}

inline PhAtClock curve_of(const Acidification& set, const Parameters& p) {
  if (!set.by_grains) return starter_curve(set.milk, set.percent / 100, p);
  const AcidCurve curve =
      AcidCurve::solved({set.milk, Treatment::pasteurised, 1000, 10 * set.percent}, p);
  return [curve](double clock_h) { return curve.at(clock_h).ph; };
}

// When the curve comes down to this pH; some hundred hours if never.
inline double clock_h_at(const PhAtClock& curve, double ph) {
  double low = 0, high = 190;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (curve(middle) > ph ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

// Root mean square error of pH over these points.
inline double error_ph(const PhAtClock& curve, const std::vector<Point>& points,
                       double clock_h_per_h) {
  double sum = 0;
  for (const Point& point : points) {
    const double off = curve(clock_h_per_h * point.time_h) - point.ph;
    sum += off * off;
  }
  return std::sqrt(sum / static_cast<double>(points.size()));
}

struct Fit {
  double pace;
  double error_ph;
};

// The pace between 0.1 and 10 that comes closest: a fine grid, then golden sections about its best.
inline Fit fitted(const PhAtClock& curve, const std::vector<Point>& points, double rate) {
  const auto error = [&](double log_pace) {
    return error_ph(curve, points, std::exp(log_pace) * rate);
  };
  constexpr double step = 0.02;
  double best = std::log(0.1);
  for (double log_pace = best; log_pace < std::log(10.0); log_pace += step) {
    if (error(log_pace) < error(best)) best = log_pace;
  }
  double a = best - step, b = best + step;
  const double golden = (std::sqrt(5.0) - 1) / 2;
  for (int i = 0; i < 40; ++i) {
    const double left = b - golden * (b - a), right = a + golden * (b - a);
    (error(left) < error(right) ? b : a) = error(left) < error(right) ? right : left;
  }
  return {std::exp((a + b) / 2), error((a + b) / 2)};
}

struct FittedSet {
  Acidification set;
  Fit fit;
};

inline std::vector<FittedSet> fitted_sets(const Parameters& p) {
  std::vector<FittedSet> all;
  for (const Acidification& set : acidifications()) {
    const double rate = acid_rate(Celsius(set.temperature_c), p);
    all.push_back({set, fitted(curve_of(set, p), set.points, rate)});
  }
  return all;
}

// Mean log-pace of each source: sets of one laboratory are no independent draws.
inline std::map<std::string, double> log_pace_by_source(const std::vector<FittedSet>& sets) {
  std::map<std::string, std::vector<double>> by_source;
  for (const FittedSet& s : sets) by_source[s.set.source].push_back(std::log(s.fit.pace));
  std::map<std::string, double> mean;
  for (const auto& [source, paces] : by_source) {
    double sum = 0;
    for (const double pace : paces) sum += pace;
    mean[source] = sum / static_cast<double>(paces.size());
  }
  return mean;
}

}  // namespace wheymark::published
