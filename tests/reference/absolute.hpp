// Published hours and pH as forecasts: what does an unknown culture's first batch do under the
// conditions that were stated, before any pace is fitted?
//
// A pH at an hour asks for a pace: the one with which the computed batch would have been there just
// then. Where that lies in what is believed of a first batch says how well it was foretold: 0.5 in
// the middle, below 0.1 and above 0.9 outside the 80 per cent.
#pragma once

#include <cmath>
#include <functional>
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
  double median_h = 0;  // ours, and the 80 %
  double low_h = 0;
  double high_h = 0;
  double asked_pace = 0;
  double place = 0;   // in the belief: the share of slower paces
  double crps_h = 0;  // of our hours; that of a fixed hour is the distance from it

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

// The hours after which a batch of this pace is where it is asked to be; fewer for a higher pace.
using HoursAtPace = std::function<double(double pace)>;

// E|X - y| - E|X - X'| / 2 for the hours X.
inline double crps_h(const pace_grid::OverPaces& shares, const HoursAtPace& hours_at,
                     double hours) {
  double distance = 0, spread = 0, below = 0, mean_below = 0;
  for (std::size_t i = pace_grid::size; i-- > 0;) {  // from the shortest hours
    const double h = hours_at(std::exp(pace_grid::log_pace_at(i)));
    distance += shares[i] * std::abs(h - hours);
    spread += 2 * shares[i] * (h * below - mean_below);
    below += shares[i];
    mean_below += shares[i] * h;
  }
  return distance - 0.5 * spread;
}

// Scores the published hours of `row` against this belief; `asked`: the pace with which the batch
// would have been there just then.
inline Foretold scored(Foretold row, const PaceBelief& belief, const HoursAtPace& hours_at,
                       double asked) {
  row.median_h = hours_at(belief.median());
  row.low_h = hours_at(belief.quantile(0.9));
  row.high_h = hours_at(belief.quantile(0.1));
  row.asked_pace = asked;
  row.place = 0;
  for (std::size_t i = 0; i < pace_grid::size; ++i) {
    // Each point stands for half a step to both sides.
    const double share_below =
        std::clamp((std::log(asked) - pace_grid::log_pace_at(i)) / pace_grid::step + 0.5, 0.0, 1.0);
    row.place += share_below * belief.over_paces()[i];
  }
  row.crps_h = crps_h(belief.over_paces(), hours_at, row.hours);
  return row;
}

using Row = std::map<std::string, std::string>;

// The conditions of a row of absolute/hours.csv.
inline Acidification acidification_of(const Row& row) {
  Acidification set;
  set.by_grains = row.at("culture") == "grains";
  set.milk = milk(row.at("milk"));
  set.percent = number(row.at("percent"));
  set.temperature_c = number(row.at("temperature_c"));
  return set;
}

// What such a row says, not scored yet.
inline Foretold published_hours(const Row& row, const Acidification& set, const Parameters& p) {
  const double ph =
      row.at("acidity_percent").empty()
          ? number(row.at("ph"))
          : ph_at_acidity(Buffering(composition(set.milk), p), number(row.at("acidity_percent")));
  return {row.at("source"),
          row.at("what"),
          use(row.at("use")),
          row.at("conditions") == "stated",
          row.at("ended") == "yes",
          0.5 * (number(row.at("hours_from")) + number(row.at("hours_to"))),
          ph};
}

inline std::vector<Foretold> foretold(const Parameters& p) {
  const PaceBelief first_batch = CulturePace(p).of_a_batch(Instant{});
  std::vector<Foretold> all;
  for (const Row& row : table(folder() / "absolute/hours.csv").rows) {
    const Acidification set = acidification_of(row);
    const Foretold published = published_hours(row, set, p);
    const double clock_h =
        clock_h_at(curve_of(set, p), published.ph) / acid_rate(Celsius(set.temperature_c), p);
    all.push_back(scored(
        published, first_batch, [clock_h](double pace) { return clock_h / pace; },
        clock_h / published.hours));
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
