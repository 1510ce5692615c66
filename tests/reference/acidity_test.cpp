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
  std::string product;
  double ph;
  double published_percent;
  double computed_percent;
};

std::vector<Pair> pairs() {
  std::vector<Pair> all;
  for (const auto& row : table(folder() / "acidity/pairs.csv").rows) {
    const Buffering milk(composition(published::milk(row.at("milk"))), p);
    const double ph = number(row.at("ph"));
    all.push_back({row.at("source"), row.at("product"), ph, number(row.at("acidity_percent")),
                   milk.acidity_percent(milk.acid_g_per_l(ph))});
    const Pair& pair = all.back();
    fmt::print("{:16} {:10} pH {:.2f}  published {:.3f} %  computed {:.3f} %\n", pair.source,
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
    if (pair.product != "starter" && pair.product != "yoghurt") continue;
    EXPECT_NEAR(pair.computed_percent, pair.published_percent, 0.125) << pair.source;
  }
}

// Papers titrated kefirs lower, a textbook higher; the computed has them on both sides of it.
TEST(PublishedAcidity, KefirsScatterAroundTheComputed) {
  double mean = 0, distance = 0, n = 0;
  bool above = false, below = false;
  for (const Pair& pair : pairs()) {
    if (pair.product != "kefir") continue;
    const double off = pair.computed_percent - pair.published_percent;
    mean += off;
    distance += std::abs(off);
    ++n;
    (off > 0 ? above : below) = true;
    EXPECT_LT(std::abs(off), 0.16) << pair.source;
  }
  fmt::print("kefirs: computed less published {:+.3f} %, mean distance {:.3f} %\n", mean / n,
             distance / n);
  ASSERT_EQ(n, 7);
  EXPECT_LE(std::abs(mean / n), 0.08);
  EXPECT_TRUE(above && below);
}

// THE CONTRADICTION: lactic acid by chromatography is more than what titrates with the milk's own
// acidity in it: 13 g/L at pH 4.26 [ijm2020], 1.6 to 2.4 % beside 0.7 to 0.8 % [ijvm82779], 0.80
// beside 0.46 % [uslu2010]. No buffering can bring both together. Titrations are followed, and the
// enzymatic 0.76 % of L-lactate at pH 4.24 [garciafontan2006], to which some D-lactate comes.
TEST(PublishedAcidity, TitrationsAreFollowedAndNotChromatography) {
  const Buffering cow(composition(MilkKind::cow_whole), p);
  EXPECT_LT(cow.acid_g_per_l(4.26), 0.8 * 13.1);
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
