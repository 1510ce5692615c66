#include "core/forecast/observation.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace wheymark {
namespace {

// The standard normal's share below z.
double normal_below(double z) {
  return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

// A milestone's clock hours and the spread with which batches cross it.
struct Crossing {
  double clock_h;
  double log_sd;
};

// A sign lies between the crossing that brings it and the one that brings the next.
struct Span {
  Crossing from;
  Crossing to;
};

Span span_of(Sign sign, const Milestones& milestones, const Parameters& p) {
  const Crossing start{0.0, 1.0};  // crossed by every batch
  const Crossing thickened{milestones.thickened_h, p.thickened_log_sd};
  const Crossing set{milestones.set_h, p.set_log_sd};
  const Crossing opens{milestones.peak_opens_h, p.peak_opens_log_sd};
  const Crossing closes{milestones.peak_closes_h, p.peak_closes_log_sd};
  const Crossing never{std::numeric_limits<double>::infinity(), 1.0};
  switch (sign) {
    case Sign::still_milk:
      return {start, thickened};
    case Sign::thickened:
      return {thickened, set};
    case Sign::set:
      return {set, opens};
    case Sign::whey_pockets:
      return {opens, closes};
    case Sign::whey_layer:
    case Sign::separated:
      return {closes, never};
  }
  return {start, never};
}

// The chance that a batch whose clock shows `grown_h` has crossed. ln(0) and ln(infinity) are
// infinities that erfc takes well.
double crossed(double grown_h, const Crossing& crossing) {
  return normal_below((std::log(grown_h) - std::log(crossing.clock_h)) / crossing.log_sd);
}

}  // namespace

void weigh_sign(PaceBelief& belief, Sign sign, double clock_h, const Milestones& milestones,
                const Parameters& parameters) {
  if (!(clock_h > 0.0)) return;
  const Span span = span_of(sign, milestones, parameters);
  belief.weigh([&](double pace) {
    // With unequal spreads the later sign can be the likelier one far out: then this one is not.
    return std::max(0.0, crossed(pace * clock_h, span.from) - crossed(pace * clock_h, span.to));
  });
}

void weigh_ph(PaceBelief& belief, double ph, double clock_h, const AcidCurve& curve,
              const Parameters& parameters) {
  if (!(clock_h > 0.0)) return;
  belief.weigh([&](double pace) {
    const double z = (ph - curve.at(pace * clock_h).ph) / parameters.ph_reading_sd_ph;
    return std::exp(-0.5 * z * z);
  });
}

}  // namespace wheymark
