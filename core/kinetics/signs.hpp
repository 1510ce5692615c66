// When will the eye see what, on the acid clock?
//
// Each sign is a pH at which it shows on average; the spreads in the parameters say how far real
// jars and real eyes scatter around that.
#pragma once

#include "core/basis/words.hpp"
#include "core/kinetics/acid_curve.hpp"
#include "core/kinetics/parameters.hpp"

namespace wheymark {

// What the eye sees in the jar, in the order in which it comes.
enum class Sign { still_milk, thickened, set, whey_pockets, whey_layer, separated };

template <>
struct Vocabulary<Sign> {
  static constexpr std::array words{Word<Sign>{Sign::still_milk, "still-milk"},
                                    Word<Sign>{Sign::thickened, "thickened"},
                                    Word<Sign>{Sign::set, "set"},
                                    Word<Sign>{Sign::whey_pockets, "whey-pockets"},
                                    Word<Sign>{Sign::whey_layer, "whey-layer"},
                                    Word<Sign>{Sign::separated, "separated"}};
};

// What the person thought of the time of straining.
enum class Verdict { early, right, late };

template <>
struct Vocabulary<Verdict> {
  static constexpr std::array words{Word<Verdict>{Verdict::early, "early"},
                                    Word<Verdict>{Verdict::right, "right"},
                                    Word<Verdict>{Verdict::late, "late"}};
};

// Acid-clock hours at pace 1; +infinity for a sign that never comes. In this order.
struct Milestones {
  double thickened_h;
  double set_h;
  double peak_opens_h;   // the first whey pockets
  double peak_closes_h;  // a clear layer of whey: over-fermented
};

Milestones milestones(const AcidCurve& curve, const Parameters& parameters);

}  // namespace wheymark
