// Is milk's acidity what chemistry and dairies say it is?
#include "core/kinetics/buffering.hpp"

#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/given.hpp"

namespace wheymark {
namespace {

double acidity_percent_at_ph(const Buffering& milk, double ph) {
  return milk.acidity_percent(milk.acid_g_per_l(ph));
}

TEST(Buffering, FreshCowsMilkHasThePhAndTheAcidityOfDairyTexts) {
  EXPECT_NEAR(cow_milk().ph(0.0), 6.65, 0.05);       // [mahmood2010] 6.64; 6.5 to 6.7 elsewhere
  EXPECT_GT(cow_milk().acidity_percent(0.0), 0.13);  // 0.13 to 0.18 %, dairy texts
  EXPECT_LT(cow_milk().acidity_percent(0.0), 0.18);
}

TEST(Buffering, SourMilkHasTheAcidityThatDairiesTitrate) {
  EXPECT_GT(acidity_percent_at_ph(cow_milk(), 4.6), 0.70);  // dairy texts, 0.70 to 0.85 %
  EXPECT_LT(acidity_percent_at_ph(cow_milk(), 4.6), 0.85);
  // [ejfst2020] a kefir 0.77 to 0.92 % below pH 4.25; kefir is "about 1 %" in the handbooks.
  EXPECT_GT(acidity_percent_at_ph(cow_milk(), 4.25), 0.77);
  EXPECT_LT(acidity_percent_at_ph(cow_milk(), 4.25), 1.00);
}

TEST(Buffering, MilkBuffersMostNearPhFive) {
  // [tomasula1999] one peak at 5.05 with hydrochloric acid; Lucey et al. 1993: near 5.
  double peak_ph = 0.0, peak = 0.0;
  for (double ph = 4.0; ph <= 6.6; ph += 0.01) {
    const double buffering = cow_milk().buffering_mmol_per_l_per_ph(ph);
    if (buffering > peak) peak = buffering, peak_ph = ph;
  }
  EXPECT_NEAR(peak_ph, 5.05, 0.15);
}

TEST(Buffering, WithoutMilkItIsLacticAcidInWater) {
  // 0.1 mol/L: h^2 / (0.1 - h) = K, solved as a quadratic.
  Parameters water = p;
  for (double Parameters::*group :
       {&Parameters::phosphate_mmol_per_l, &Parameters::citrate_mmol_per_l}) {
    water.*group = 0.0;
  }
  const MilkComposition no_milk{0.0, 0.0, 0.0, 0.0, 1.0, 7.0};
  const double k = std::pow(10.0, -p.lactic_pk);
  const double h = 0.5 * (-k + std::sqrt(k * k + 4.0 * k * 0.1));
  EXPECT_NEAR(Buffering(no_milk, water).ph(0.1 * lactic_acid_g_per_mol), -std::log10(h), 1e-6);
}

TEST(Buffering, AcidityGrowsByTheAcidThatIsAdded) {
  // At pH 8.3 lactic acid is wholly dissociated, so acidity grows one for one.
  const double density = composition(MilkKind::cow_whole).density_g_per_ml;
  EXPECT_NEAR(cow_milk().acidity_percent(7.0) - cow_milk().acidity_percent(0.0), 0.7 / density,
              1e-12);
}

TEST(Buffering, PhAndAcidAreEachOthersInverse) {
  for (const MilkRow& row : milk_table()) {
    const Buffering milk(row.composition, p);
    for (const double acid_g_per_l : {0.0, 1e-9, 0.01, 0.5, 3.0, 6.7, 12.0, 30.0, 60.0, 200.0}) {
      const double ph = milk.ph(acid_g_per_l);
      EXPECT_NEAR(milk.acid_g_per_l(ph), acid_g_per_l, 1e-9 * (1 + acid_g_per_l)) << word(row.kind);
      EXPECT_LE(ph, milk.start_ph());
    }
  }
}

TEST(Buffering, TheSlopeIsTheDerivative) {
  for (double ph = 3.6; ph < 6.6; ph += 0.1) {
    const double d = 1e-5;
    const double difference =
        (cow_milk().acid_g_per_l(ph + d) - cow_milk().acid_g_per_l(ph - d)) / (2 * d);
    EXPECT_NEAR(cow_milk().acid_slope_g_per_l_per_ph(ph), difference, 1e-6 * std::abs(difference))
        << ph;
    EXPECT_LT(difference, 0.0);
  }
}

TEST(Buffering, EwesMilkWithItsProteinHoldsMoreAcid) {
  const Buffering ewe(composition(MilkKind::sheep), p);
  EXPECT_GT(ewe.acid_g_per_l(4.6), 1.3 * cow_milk().acid_g_per_l(4.6));
  EXPECT_NEAR(ewe.acidity_percent(0.0), 0.23, 0.03);  // [mahmood2010]
}

TEST(Buffering, LacticAcidIsHalfDissociatedAtItsConstant) {
  EXPECT_NEAR(cow_milk().undissociated_share(p.lactic_pk), 0.5, 1e-12);
}

TEST(Buffering, DoubtStaysVisibleAndNonsenseIsOurMistake) {
  EXPECT_TRUE(std::isnan(cow_milk().ph(nan)));
  EXPECT_TRUE(std::isnan(cow_milk().acid_g_per_l(nan)));
  EXPECT_TRUE(std::isnan(cow_milk().acidity_percent(nan)));
  EXPECT_THROW((void)cow_milk().ph(-0.1), BrokenCheck);
  EXPECT_THROW((void)cow_milk().ph(201.0), BrokenCheck);
}

}  // namespace
}  // namespace wheymark
