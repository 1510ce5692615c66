// How much kefir people mean, and by how much they mis-measure it.
#pragma once

#include <fmt/format.h>
#include <string>

namespace wheymark {

// "750 mL", "1.65 L".
inline std::string volume_text(double ml) {
  return ml < 999.5 ? fmt::format("{:.0f} mL", ml) : fmt::format("{:.3g} L", ml / 1000.0);
}

// What `pour` means when no amount is said (common practice: a glass holds 200 to 250 mL).
inline constexpr double glass_ml = 200.0;
// No batch is ready sooner, so that whoever starts again sooner has pressed twice (our estimate:
// the quickest published ones take seven hours at 30 degC).
inline constexpr double fed_again_after_h = 4.0;
// No more than this clings to the jar or is drunk on the spot, and is not kept account of (our
// estimate).
inline constexpr double last_drops_ml = 60.0;

// Whether somebody may say so many mL of what is so many: kitchen jugs tell a tenth, marks on
// bottles 50 mL (our estimates).
inline bool may_be_all_of(double said_ml, double there_ml) {
  const double error_ml = 50.0 + 0.1 * there_ml;
  return said_ml > there_ml - error_ml && said_ml < there_ml + error_ml;
}

}  // namespace wheymark
