#include "core/kinetics/acid_curve.hpp"

#include <algorithm>
#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <boost/numeric/odeint.hpp>
#include <cmath>
#include <cstdint>
#include <limits>

#include "core/kinetics/milk.hpp"

namespace wheymark {
namespace {

namespace odeint = boost::numeric::odeint;

// Half a quarter hour keeps the cubic within 1e-4 pH even of a jar half full of grains (within 1e-6
// of an ordinary one); ten days are longer than any batch is followed.
constexpr double curve_step_h = 0.125;
constexpr std::size_t steps = 1920;

// Cubic Hermite between two nodes at share `s` of the step.
double hermite(double s, double y0, double slope0_per_h, double y1, double slope1_per_h) {
  const double r = 1.0 - s;
  return r * r * ((1.0 + 2.0 * s) * y0 + s * curve_step_h * slope0_per_h) +
         s * s * ((1.0 + 2.0 * r) * y1 - r * curve_step_h * slope1_per_h);
}

}  // namespace

AcidCurve::AcidCurve(const AcidFormation& formation, double milk_pace, std::vector<Node> nodes)
    : formation_(formation), milk_pace_(milk_pace), nodes_(std::move(nodes)) {}

// The state is biomass and pH rather than biomass and acid: acid is a plain sum at a given pH,
// while pH at a given acid needs a root, which would be found some thousand times a curve.
AcidCurve AcidCurve::solved(const Brew& brew, const Parameters& parameters) {
  using State = std::array<double, 2>;
  const AcidFormation formation(brew, parameters);
  const Buffering& buffering = formation.buffering();

  const auto slopes = [&](const State& x, State& dxdt, double /*clock_h*/) {
    const auto [biomass, ph] = x;
    const auto rates = formation.rates(biomass, buffering.acid_g_per_l(ph), ph);
    dxdt = {rates.biomass_g_per_l_h,
            rates.acid_g_per_l_h / buffering.acid_slope_g_per_l_per_ph(ph)};
  };
  std::vector<Node> nodes;
  nodes.reserve(steps + 1);
  const auto keep = [&](const State& x, double clock_h) {
    State dxdt;
    slopes(x, dxdt, clock_h);
    nodes.push_back({x[0], dxdt[0], x[1], dxdt[1]});
  };

  State start{0.0, buffering.start_ph()};
  odeint::integrate_n_steps(
      odeint::make_dense_output(1e-9, 1e-9, odeint::runge_kutta_dopri5<State>()), slopes, start,
      0.0, curve_step_h, steps, keep);
  check(nodes.size() == steps + 1, "a curve has a node for every step");
  return {formation, milk_pace(brew.milk, brew.treatment, parameters), std::move(nodes)};
}

AcidState AcidCurve::at(double clock_h) const {
  if (std::isnan(clock_h)) return {clock_h, clock_h, clock_h, clock_h, clock_h};
  const double end = static_cast<double>(steps);
  const double place = std::clamp(clock_h * milk_pace_ / curve_step_h, 0.0, end);
  const std::size_t left = std::min(static_cast<std::size_t>(place), steps - 1);
  const double s = place - static_cast<double>(left);
  const Node& a = nodes_[left];
  const Node& b = nodes_[left + 1];

  const double ph = hermite(s, a.ph, a.ph_per_h, b.ph, b.ph_per_h);
  const double acid = formation_.buffering().acid_g_per_l(ph);
  return {acid, formation_.lactose_g_per_l(acid),
          hermite(s, a.biomass_g_per_l, a.biomass_per_h, b.biomass_g_per_l, b.biomass_per_h), ph,
          formation_.buffering().acidity_percent(acid)};
}

double AcidCurve::end_h() const {
  return static_cast<double>(steps) * curve_step_h / milk_pace_;
}

double AcidCurve::clock_h_at_ph(double ph) const {
  if (std::isnan(ph)) return ph;
  if (ph >= nodes_.front().ph) return 0.0;
  const auto after = std::partition_point(nodes_.begin(), nodes_.end(),
                                          [&](const Node& node) { return node.ph > ph; });
  if (after == nodes_.end()) return std::numeric_limits<double>::infinity();

  const Node& a = *(after - 1);
  const Node& b = *after;
  std::uintmax_t evaluations = 60;
  const auto [low, high] = boost::math::tools::toms748_solve(
      [&](double s) { return hermite(s, a.ph, a.ph_per_h, b.ph, b.ph_per_h) - ph; }, 0.0, 1.0,
      a.ph - ph, b.ph - ph, [](double s0, double s1) { return std::abs(s1 - s0) <= 1e-10; },
      evaluations);
  const double place = static_cast<double>(after - 1 - nodes_.begin()) + 0.5 * (low + high);
  return place * curve_step_h / milk_pace_;
}

}  // namespace wheymark
