// Do pH and titratable acidity belong together as in published samples?
#include <cmath>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "core/kinetics/buffering.hpp"
#include "core/kinetics/milk.hpp"
#include "tests/core/given.hpp"
#include "tests/reference/published.hpp"

namespace wheymark::published {
namespace {

struct Pair {
  std::string source;
  double ph;
  double published_percent;
  double computed_percent;
};

std::vector<Pair> pairs() {
  std::vector<Pair> all;
  for (const auto& row : table(folder() / "acidity/pairs.csv").rows) {
    const Buffering milk(composition(published::milk(row.at("milk"))), p);
    const double ph = number(row.at("ph"));
    all.push_back({row.at("source"), ph, number(row.at("acidity_percent")),
                   milk.acidity_percent(milk.acid_g_per_l(ph))});
    const Pair& pair = all.back();
    fmt::print("{:14} {:10} pH {:.2f}  published {:.3f} %  computed {:.3f} %\n", pair.source,
               row.at("milk"), pair.ph, pair.published_percent, pair.computed_percent);
  }
  return all;
}

// [mahmood2010] means; single milks differ by 0.03. EXPECTED DISAGREEMENT, bounded: buffalo's milk
// is 0.06 low, for its casein holds more calcium phosphate than its protein says.
TEST(PublishedAcidity, FreshMilkIsMetWithinThreeHundredthsAndBuffalosWithinSix) {
  int animals = 0;
  for (const Pair& pair : pairs()) {
    if (pair.source != "mahmood2010") continue;
    ++animals;
    const bool buffalo = pair.ph == 6.75;
    EXPECT_NEAR(pair.computed_percent, pair.published_percent, buffalo ? 0.06 : 0.03) << pair.ph;
  }
  EXPECT_EQ(animals, 4);
}

// Between fresh and set, and at the curd, the model is 0.06 to 0.12 % low: skim powder and yoghurt
// milk hold more protein than market milk.
TEST(PublishedAcidity, DownToTheCurdItIsMetWithinAnEighthOfAPerCent) {
  for (const Pair& pair : pairs()) {
    if (pair.ph < 4.5 || pair.source == "mahmood2010") continue;
    EXPECT_NEAR(pair.computed_percent, pair.published_percent, 0.125) << pair.source;
  }
}

// EXPECTED DISAGREEMENT, bounded: below pH 4.5 kefirs were published with 0.15 to 0.34 % less
// acidity than lactic acid in market milk must give ([ejfst2020], [purnomo2012]), while 13 g/L of
// lactic acid at pH 4.26 [ijm2020] means more than the model's 9. The papers contradict each other;
// the model stands between them, and says too much rather than too little to those two.
TEST(PublishedAcidity, BelowTheCurdThePapersContradictEachOtherAndTheModelStandsBetween) {
  for (const Pair& pair : pairs()) {
    if (pair.ph >= 4.5) continue;
    EXPECT_GT(pair.computed_percent, pair.published_percent) << pair.source;
    EXPECT_LT(pair.computed_percent, pair.published_percent + 0.35) << pair.source;
  }
  const Buffering cow(composition(MilkKind::cow_whole), p);
  EXPECT_LT(cow.acid_g_per_l(4.26), 13.1);  // [ijm2020] table 4
  // [garciafontan2006] L-lactate 0.76 % at pH 4.24, to which D-lactate comes.
  EXPECT_GT(cow.acid_g_per_l(4.24) / (10 * 1.03), 0.76);
  EXPECT_LT(cow.acid_g_per_l(4.24) / (10 * 1.03), 0.76 * 1.25);
}

TEST(PublishedAcidity, MilkBuffersMostWhereTheTitrationsSawIt) {
  // [tomasula1999] 5.05; [lucey1993] about 5 in unheated milk (4.4 after 120 degC, not modelled).
  const Buffering cow(composition(MilkKind::cow_whole), p);
  for (const double ph : {4.6, 5.5, 6.0, 6.4}) {
    EXPECT_GT(cow.buffering_mmol_per_l_per_ph(5.05), cow.buffering_mmol_per_l_per_ph(ph)) << ph;
  }
}

}  // namespace
}  // namespace wheymark::published
