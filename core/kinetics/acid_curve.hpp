// How sour is the jar after so many hours on the acid clock, and when will it be how sour?
//
// One brew's acid formation, solved once and kept as a table: afterwards a state is a look-up and
// a forecast an inversion, which is what makes hundreds of forecasts a millisecond possible. The
// culture's pace and the temperature are in the clock, never in the curve.
#pragma once

#include <vector>

#include "core/kinetics/acid_formation.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

struct AcidState {
  double acid_g_per_l;  // lactic acid formed
  double lactose_g_per_l;
  double biomass_g_per_l;  // organisms in the milk, dry
  double ph;
  double acidity_percent;  // titratable, as lactic acid
};

class AcidCurve {
 public:
  // Milk positive, grains not negative, parameters in range. Without grains milk never sours.
  static AcidCurve solved(const Brew& brew, const Parameters& parameters);

  // Total: before clock 0 it is fresh milk, after the table's end (ten days) it stays as it was
  // there. NaN gives NaN in every field.
  [[nodiscard]] AcidState at(double clock_h) const;

  // Clock hours at which the table ends.
  [[nodiscard]] double end_h() const;

  // When the jar comes down to `ph`: 0 when it is there from the start, +infinity when the table
  // ends before. Agrees with `at` to 1e-9 pH. NaN for NaN.
  [[nodiscard]] double clock_h_at_ph(double ph) const;

  [[nodiscard]] const Buffering& buffering() const { return formation_.buffering(); }

 private:
  struct Node {
    double biomass_g_per_l;
    double biomass_per_h;
    double ph;
    double ph_per_h;
  };

  AcidCurve(const AcidFormation& formation, double milk_pace, std::vector<Node> nodes);

  AcidFormation formation_;
  double milk_pace_;
  std::vector<Node> nodes_;
};

}  // namespace wheymark
