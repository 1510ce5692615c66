// Where did the milk sugar go?
//
// A balance for a jar at one moment: lactose with its water is sugar that becomes lactic acid,
// alcohol and carbon dioxide (one of each), organisms, and what is left over for acetic acid, slime
// and aroma, gram for gram. The acid curve itself counts only the bacteria's lactose; the yeasts'
// share is added here, which matters for nothing but the balance until the sugar runs out after
// many days.
#pragma once

#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/milk_kind.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// All in g/L. `start` = `left` + `used`; `used` with its water is the sum of the products.
struct LactoseBalance {
  double start;
  double left;  // never negative; the yeasts get no more than there is
  double used;
  double lactic_acid;
  double ethanol;
  double carbon_dioxide;
  double organisms;  // dry, in the milk
  double other;
};

// `carbon_dioxide_g_per_l` formed so far, not negative.
LactoseBalance lactose_balance(MilkKind milk, const AcidState& state, double carbon_dioxide_g_per_l,
                               const Parameters& parameters);

}  // namespace wheymark
