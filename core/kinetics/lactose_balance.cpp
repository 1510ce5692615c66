#include "core/kinetics/lactose_balance.hpp"

#include <algorithm>

#include "core/basis/constants.hpp"
#include "core/kinetics/milk.hpp"

namespace wheymark {
namespace {

// C12H22O11 + H2O -> 2 C6H12O6; C6H12O6 -> 2 C3H6O3, or 2 C2H5OH + 2 CO2. Molar masses in g/mol.
constexpr double lactose_g_per_mol = 342.30;
constexpr double water_g_per_mol = 18.015;
constexpr double sugar_g_per_lactose_g = (lactose_g_per_mol + water_g_per_mol) / lactose_g_per_mol;

}  // namespace

LactoseBalance lactose_balance(MilkKind milk, const AcidState& state, double carbon_dioxide_g_per_l,
                               const Parameters& p) {
  check(!(carbon_dioxide_g_per_l < 0.0), "gas formed is not negative");
  const double start = composition(milk).lactose_g_per_l();
  const double by_bacteria = std::min(start, state.acid_g_per_l / p.acid_from_lactose_g_per_g);
  const double most_g_per_l = sugar_g_per_lactose_g * (start - by_bacteria);
  const double gas =
      std::min(carbon_dioxide_g_per_l, most_g_per_l / (1.0 + ethanol_g_per_carbon_dioxide_g));
  const double ethanol = ethanol_g_per_carbon_dioxide_g * gas;
  const double used = by_bacteria + (gas + ethanol) / sugar_g_per_lactose_g;
  return {start,
          start - used,
          used,
          state.acid_g_per_l,
          ethanol,
          gas,
          state.biomass_g_per_l,
          sugar_g_per_lactose_g * by_bacteria - state.acid_g_per_l - state.biomass_g_per_l};
}

}  // namespace wheymark
