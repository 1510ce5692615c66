// Published hours and pH as forecasts: what does an unknown culture's first batch do under the
// conditions that were stated, before any pace is fitted?
//
// A pH at an hour asks for a pace: the one with which the computed batch would have been there just
// then. Where that lies in what is believed of a first batch says how well it was foretold: 0.5 in
// the middle, below 0.1 and above 0.9 outside the 80 per cent.
#pragma once

#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "core/kinetics/buffering.hpp"
#include "core/kinetics/milk.hpp"
#include "core/pace/culture_pace.hpp"
#include "tests/reference/fitted.hpp"

namespace wheymark::published {

struct Foretold {
  std::string source;
  std::string what;
  Use use;
  bool stated;
  bool ended;    // the hours until a state; else a state at a chosen hour
  double hours;  // published, the middle of a range
  double ph;
  double median_h;  // ours, and the 80 %
  double low_h;
  double high_h;
  double asked_pace;
  double place;   // in the belief: the share of slower paces
  double crps_h;  // of our hours; that of a fixed hour is the distance from it

  [[nodiscard]] bool inside() const { return place >= 0.1 && place <= 0.9; }
};

inline double ph_at_acidity(const Buffering& milk, double percent) {
  double low = 3, high = milk.start_ph();
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (milk.acidity_percent(milk.acid_g_per_l(middle)) > percent ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

// E|X - y| - E|X - X'| / 2 for hours X = clock_h / pace.
inline double crps_h(const pace_grid::OverPaces& shares, double clock_h, double hours) {
  double distance = 0, spread = 0, below = 0, mean_below = 0;
  for (std::size_t i = pace_grid::size; i-- > 0;) {  // from the shortest hours
    const double h = clock_h * std::exp(-pace_grid::log_pace_at(i));
    distance += shares[i] * std::abs(h - hours);
    spread += 2 * shares[i] * (h * below - mean_below);
    below += shares[i];
    mean_below += shares[i] * h;
  }
  return distance - 0.5 * spread;
}

inline std::vector<Foretold> foretold(const Parameters& parameters) {
  const PaceBelief first_batch = CulturePace(parameters).of_a_batch(Instant{});
  std::vector<Foretold> all;
  for (const auto& row : table(folder() / "absolute/hours.csv").rows) {
    Acidification set;
    set.by_grains = row.at("culture") == "grains";
    set.milk = milk(row.at("milk"));
    set.percent = number(row.at("percent"));
    const double hours = 0.5 * (number(row.at("hours_from")) + number(row.at("hours_to")));
    const double ph = row.at("acidity_percent").empty()
                          ? number(row.at("ph"))
                          : ph_at_acidity(Buffering(composition(set.milk), parameters),
                                          number(row.at("acidity_percent")));
    const double clock_h = clock_h_at(curve_of(set, parameters), ph) /
                           acid_rate(Celsius(number(row.at("temperature_c"))), parameters);
    const double asked = clock_h / hours;
    double place = 0;
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      // Each point stands for half a step to both sides.
      const double share_below = std::clamp(
          (std::log(asked) - pace_grid::log_pace_at(i)) / pace_grid::step + 0.5, 0.0, 1.0);
      place += share_below * first_batch.over_paces()[i];
    }
    all.push_back({row.at("source"), row.at("what"), use(row.at("use")),
                   row.at("conditions") == "stated", row.at("ended") == "yes", hours, ph,
                   clock_h / first_batch.median(), clock_h / first_batch.quantile(0.9),
                   clock_h / first_batch.quantile(0.1), asked, place,
                   crps_h(first_batch.over_paces(), clock_h, hours)});
  }
  return all;
}

// The mean over a source's rows of some number, by source: rows of one source are one draw.
template <class OfARow>
std::map<std::string, double> mean_by_source(const std::vector<Foretold>& rows, OfARow of_a_row) {
  std::map<std::string, std::pair<double, double>> sums;
  for (const Foretold& row : rows) {
    sums[row.source].first += of_a_row(row);
    sums[row.source].second += 1;
  }
  std::map<std::string, double> means;
  for (const auto& [source, sum] : sums) means[source] = sum.first / sum.second;
  return means;
}

}  // namespace wheymark::published
