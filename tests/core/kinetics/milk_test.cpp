// Is the milk in the tables the milk of the literature?
#include "core/kinetics/milk.hpp"

#include <gtest/gtest.h>

#include "tests/core/given.hpp"

namespace wheymark {
namespace {

TEST(Milk, EveryKindHasOneRow) {
  ASSERT_EQ(milk_table().size(), Vocabulary<MilkKind>::words.size());
  for (const auto& entry : Vocabulary<MilkKind>::words) {
    int rows = 0;
    for (const MilkRow& row : milk_table()) rows += row.kind == entry.meaning ? 1 : 0;
    EXPECT_EQ(rows, 1) << entry.text;
    EXPECT_NO_THROW((void)composition(entry.meaning));
  }
}

TEST(Milk, EachKindIsWhatTheLiteratureSpans) {
  for (const MilkRow& row : milk_table()) {
    const MilkComposition& m = row.composition;
    const bool ewe = row.kind == MilkKind::sheep;
    // Ranges over breeds, from memory: protein 3.1 to 3.6 (buffalo 4.5, sheep 6.0), lactose 4.1 to
    // 5.4, ash 0.7 to 1.0 g/100 g, density 1.027 to 1.040; pH 6.5 to 6.8.
    EXPECT_GE(m.protein_g_per_100_g, ewe ? 5.4 : 3.1) << word(row.kind);
    EXPECT_LE(m.protein_g_per_100_g, ewe ? 6.0 : 4.5) << word(row.kind);
    EXPECT_GE(m.lactose_g_per_100_g, 4.1) << word(row.kind);
    EXPECT_LE(m.lactose_g_per_100_g, 5.4) << word(row.kind);
    EXPECT_GE(m.ash_g_per_100_g, 0.7) << word(row.kind);
    EXPECT_LE(m.ash_g_per_100_g, 1.0) << word(row.kind);
    EXPECT_GE(m.density_g_per_ml, 1.027) << word(row.kind);
    EXPECT_LE(m.density_g_per_ml, 1.040) << word(row.kind);
    EXPECT_GE(m.ph, 6.5) << word(row.kind);
    EXPECT_LE(m.ph, 6.8) << word(row.kind);
  }
}

TEST(Milk, SkimmingTakesFat) {
  EXPECT_GT(composition(MilkKind::cow_whole).fat_g_per_100_g,
            composition(MilkKind::cow_2_percent).fat_g_per_100_g);
  EXPECT_GT(composition(MilkKind::cow_2_percent).fat_g_per_100_g,
            composition(MilkKind::cow_1_percent).fat_g_per_100_g);
  EXPECT_GT(composition(MilkKind::cow_1_percent).fat_g_per_100_g,
            composition(MilkKind::cow_skim).fat_g_per_100_g);
}

TEST(Milk, ContentsPerLitreUseTheDensity) {
  const MilkComposition& cow = composition(MilkKind::cow_whole);
  EXPECT_NEAR(cow.protein_g_per_l(), 3.3 * 10.3, 1e-12);
  EXPECT_NEAR(cow.lactose_g_per_l(), 4.7 * 10.3, 1e-12);
}

TEST(Milk, GoatsAndUltraPasteurisedMilkAreSlowerAndNothingElse) {
  for (const auto& kind : Vocabulary<MilkKind>::words) {
    for (const auto& treatment : Vocabulary<Treatment>::words) {
      const double pace = milk_pace(kind.meaning, treatment.meaning, p);
      const bool is_slower =
          kind.meaning == MilkKind::goat || treatment.meaning == Treatment::ultra_pasteurised;
      if (is_slower) {
        EXPECT_LT(pace, 1.0) << kind.text << " " << treatment.text;
      } else {
        EXPECT_EQ(pace, 1.0) << kind.text << " " << treatment.text;
      }
    }
  }
}

// Two things that are wrong with a milk each cost their share of the time that is left.
TEST(Milk, UltraPasteurisedGoatsMilkIsSlowerByBoth) {
  EXPECT_DOUBLE_EQ(milk_pace(MilkKind::goat, Treatment::ultra_pasteurised, p),
                   milk_pace(MilkKind::goat, Treatment::pasteurised, p) *
                       milk_pace(MilkKind::cow_whole, Treatment::ultra_pasteurised, p));
}

// A time factor of 1.25 is a batch that takes a quarter longer.
TEST(Milk, ATimeFactorIsHowMuchLongerABatchTakes) {
  Parameters slow = p;
  slow.goat_time_factor = 1.25;
  slow.ultra_pasteurised_time_factor = 1.25;
  EXPECT_DOUBLE_EQ(milk_pace(MilkKind::goat, Treatment::raw, slow), 0.8);
  EXPECT_DOUBLE_EQ(milk_pace(MilkKind::cow_skim, Treatment::ultra_pasteurised, slow), 0.8);
}

}  // namespace
}  // namespace wheymark
