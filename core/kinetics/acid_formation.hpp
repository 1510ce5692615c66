// How fast do grains and what they release turn milk sour, at the reference temperature?
//
// Luedeking and Piret's law for both: organisms in the milk make acid as they grow and merely by
// being there, grains merely by being there; grains shed organisms into the milk. Undissociated
// lactic acid slows growth first and acid formation later; lactose that runs out stops both. Grains
// are taken as constant through a batch. The law's form is published, its constants for kefir are
// mostly fitted to what kitchens see (see the parameter table).
#pragma once

#include "core/kinetics/buffering.hpp"
#include "core/kinetics/milk_kind.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// What was put together. Milk positive, grains not negative.
struct Brew {
  MilkKind milk;
  Treatment treatment;
  double milk_ml;
  double grain_g;
};

class AcidFormation {
 public:
  AcidFormation(const Brew& brew, const Parameters& parameters);

  struct Rates {
    double biomass_g_per_l_h;
    double acid_g_per_l_h;
  };

  // At this biomass (dry, in the milk), lactic acid formed so far and pH; the last two belong
  // together, and both are asked for because a caller has both at hand.
  [[nodiscard]] Rates rates(double biomass_g_per_l, double acid_g_per_l, double ph) const;

  // Lactose left when so much acid has formed; never negative.
  [[nodiscard]] double lactose_g_per_l(double acid_g_per_l) const;

  [[nodiscard]] const Buffering& buffering() const { return buffering_; }

 private:
  Parameters p_;
  Buffering buffering_;
  double grains_g_per_l_;
  double lactose_start_g_per_l_;
};

}  // namespace wheymark
