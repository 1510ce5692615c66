// When is a jar due for washing?
//
// After three or four batches (common practice); here after four, and again every four for whoever
// never reports a washing. Only batches that fermented in the jar count.
#pragma once

#include <algorithm>
#include <optional>

#include "core/record/batch.hpp"
#include "core/record/grains.hpp"

namespace wheymark {

inline constexpr int batches_per_wash = 4;

struct JarCare {
  int batches = 0;                  // since it was washed
  std::optional<FactRef> wash_due;  // the straining that made it so
  std::optional<Ended> last_end;    // how its last content ended
  struct Poured {
    Instant at;
    JarId into;
  };
  std::optional<Poured> poured;  // where its last content went
  double fullest_ml = 0.0;       // the most milk that it ever held

  void start(double milk_ml) {
    ++batches;
    poured.reset();
    fullest_ml = std::max(fullest_ml, milk_ml);
  }
  void strain(const FactRef& told) {
    if (batches > 0 && batches % batches_per_wash == 0) wash_due = told;
  }
  void wash() {
    batches = 0;
    wash_due.reset();
  }
};

}  // namespace wheymark
