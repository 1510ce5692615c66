#include "core/kinetics/signs.hpp"

namespace wheymark {

Milestones milestones(const AcidCurve& curve, const Parameters& p) {
  return {curve.clock_h_at_ph(p.thickened_ph), curve.clock_h_at_ph(p.set_ph),
          curve.clock_h_at_ph(p.peak_opens_ph), curve.clock_h_at_ph(p.peak_closes_ph)};
}

}  // namespace wheymark
