#include "core/kinetics/condition.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "core/kinetics/cold_storage.hpp"
#include "core/kinetics/heat.hpp"
#include "core/kinetics/temperature_response.hpp"

namespace wheymark {
namespace {

// Short against any jar's time constant (half an hour and up), so that four Gauss points leave
// less than 1e-11 h a panel.
constexpr double panel_h_max = 0.25;

struct MilkPath {
  Celsius milk;
  Celsius room_from;
  KelvinDifference room_per_h;
  double tau_h;

  [[nodiscard]] Celsius at(double h) const {
    return milk_after(milk, room_from, room_from + h * room_per_h, h, tau_h);
  }
};

// Hours at the best temperature, or at 4 degC; turned into hours at the reference at the end.
struct Clocks {
  double acid_h = 0.0;
  double gas_h = 0.0;
  double cold_h = 0.0;
};

// What runs at which rate, and where a rate has a kink.
struct WithGrains {
  CardinalTemperatures acid;
  CardinalTemperatures gas;
  [[nodiscard]] std::array<Celsius, 4> kinks() const {
    return {acid.min, acid.max, gas.min, gas.max};
  }
  void add(Clocks& clocks, Celsius milk, double hours) const {
    clocks.acid_h += hours * relative_rate(milk, acid);
    clocks.gas_h += hours * relative_rate(milk, gas);
  }
};
struct WithoutGrains {
  CardinalTemperatures acid;
  const Parameters& p;
  [[nodiscard]] std::array<Celsius, 3> kinks() const {
    return {acid.min, acid.max, Celsius(cold_reference_c)};
  }
  void add(Clocks& clocks, Celsius milk, double hours) const {
    clocks.acid_h += hours * relative_rate(milk, acid);
    clocks.cold_h += hours * ageing_rate(milk, p);
  }
};

// Four-point Gauss-Legendre, exact for polynomials up to degree seven. Points and weights from the
// usual tables (DLMF 3.5).
template <class Rates>
void add_smooth(const MilkPath& path, double from_h, double to_h, const Rates& rates,
                Clocks& clocks) {
  static constexpr std::array<double, 4> points{-0.861136311594052575, -0.339981043584856265,
                                                0.339981043584856265, 0.861136311594052575};
  static constexpr std::array<double, 4> weights{0.347854845137453857, 0.652145154862546143,
                                                 0.652145154862546143, 0.347854845137453857};
  const double middle_h = 0.5 * (from_h + to_h);
  const double half_h = 0.5 * (to_h - from_h);
  for (std::size_t i = 0; i < points.size(); ++i) {
    rates.add(clocks, path.at(middle_h + points[i] * half_h), half_h * weights[i]);
  }
}

// When the milk passes `border`, which lies between its temperatures at the two ends.
double crossing_h(const MilkPath& path, Celsius border, double from_h, double to_h) {
  const bool starts_above = path.at(from_h) > border;
  for (int halving = 0; halving < 50; ++halving) {
    const double middle_h = 0.5 * (from_h + to_h);
    ((path.at(middle_h) > border) == starts_above ? from_h : to_h) = middle_h;
  }
  return 0.5 * (from_h + to_h);
}

// The rates have a kink where they start and stop, and a quadrature across a kink would depend on
// where the stretch was cut: so a panel is cut there.
template <class Rates>
void add_panel(const MilkPath& path, double from_h, double to_h, const Rates& rates,
               Clocks& clocks) {
  const Celsius first = path.at(from_h);
  const Celsius last = path.at(to_h);
  std::array<double, 6> cuts{from_h, to_h, to_h, to_h, to_h, to_h};
  std::size_t crossings = 0;
  for (const Celsius border : rates.kinks()) {
    if ((first < border && border < last) || (last < border && border < first)) {
      cuts[++crossings] = crossing_h(path, border, from_h, to_h);
    }
  }
  if (crossings == 0) return add_smooth(path, from_h, to_h, rates, clocks);
  std::sort(cuts.begin(), cuts.end());
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    if (cuts[i - 1] < cuts[i]) add_smooth(path, cuts[i - 1], cuts[i], rates, clocks);
  }
}

template <class Rates>
Clocks clocks_along(const MilkPath& path, double hours, const Rates& rates) {
  const auto panels = static_cast<std::int64_t>(std::ceil(hours / panel_h_max));
  const double panel_h = hours / static_cast<double>(panels);
  Clocks clocks;
  for (std::int64_t panel = 0; panel < panels; ++panel) {
    const double from_h = panel_h * static_cast<double>(panel);
    const double to_h = panel + 1 == panels ? hours : panel_h * static_cast<double>(panel + 1);
    add_panel(path, from_h, to_h, rates, clocks);
  }
  return clocks;
}

}  // namespace

Condition advanced(const Condition& from, const RoomStretch& stretch, double tau_h,
                   const Parameters& p, GrainsAre grains) {
  check(from.at == stretch.from, "a stretch begins where the condition is");
  check(stretch.from <= stretch.to, "a stretch runs forwards");
  const double hours = hours_between(stretch.from, stretch.to);
  if (hours == 0.0) return from;

  const MilkPath path{from.milk, stretch.at_from, (1.0 / hours) * (stretch.at_to - stretch.at_from),
                      tau_h};
  const CardinalTemperatures acid = acid_temperatures(p);
  const CardinalTemperatures gas = gas_temperatures(p);
  const Celsius reference(p.reference_c);
  const Clocks clocks = grains == GrainsAre::in ? clocks_along(path, hours, WithGrains{acid, gas})
                                                : clocks_along(path, hours, WithoutGrains{acid, p});
  const double acid_share = grains == GrainsAre::in ? 1.0 : p.strained_acid_share;
  return {stretch.to, milk_after(from.milk, stretch.at_from, stretch.at_to, hours, tau_h),
          from.acid_clock_h + acid_share * clocks.acid_h / relative_rate(reference, acid),
          from.gas_clock_h + clocks.gas_h / relative_rate(reference, gas),
          from.cold_clock_h + clocks.cold_h};
}

std::optional<Instant> cold_clock_passes(double cold_clock_h, const Condition& from,
                                         const Condition& to) {
  if (!(to.cold_clock_h >= cold_clock_h)) return std::nullopt;
  if (from.cold_clock_h >= cold_clock_h) return from.at;
  const double share = (cold_clock_h - from.cold_clock_h) / (to.cold_clock_h - from.cold_clock_h);
  return after_hours(from.at, share * hours_between(from.at, to.at));
}

}  // namespace wheymark
