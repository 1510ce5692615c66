// What is on the scale, what should be, and what people are told of the difference.
#include <cmath>
#include <gtest/gtest.h>

#include "core/household/grain_sums.hpp"
#include "core/household/report_answer.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;

class GrainsOnAScale : public ::testing::Test {
 protected:
  World world;

  [[nodiscard]] const Grains& grains() { return world.household().book().grains("tilly"); }
  [[nodiscard]] double grain_g() {
    return world.household().book().grain_g(*world.household().setup().culture("tilly"));
  }
  std::string refused(Fact fact) {
    const auto said = world.says(std::move(fact));
    return said.ok() ? "accepted" : said.why();
  }
  void a_batch() {
    world.does(start("blue"));
    world.run_for(24h);
    world.does(strain("blue"));
  }
};

// A household that gives a jar all of its grains.
class AllGrainsOnAScale : public GrainsOnAScale {
 protected:
  AllGrainsOnAScale() {
    HouseholdSetup setup = small_setup();
    for (JarSetup& jar : setup.jars) jar.grain_g.reset();
    world = World(setup);
  }
};

TEST_F(GrainsOnAScale, ATenfoldWeighingIsAskedAboutAndCountsWhenItIsSaidAgainForSure) {
  world.does(weigh(60.0));
  world.run_for(1h);
  EXPECT_THAT(refused(weigh(600.0)),
              AllOf(HasSubstr("are 60 g now"), HasSubstr("600 g does not go with that"),
                    HasSubstr("\"sure\": true and a new ref")));
  EXPECT_EQ(grain_g(), 60.0);
  EXPECT_TRUE(world.says_for_sure(weigh(600.0)).ok());
  EXPECT_EQ(grain_g(), 600.0);
}

// The published growth doubles in about eleven daily batches; a household's own may be twice that.
TEST_F(AllGrainsOnAScale, AreBelievedWithinHalfAndTwiceTheGrowthSinceTheLastWeighing) {
  world.does(weigh(20.0));
  const auto most_g = [&] { return grains().believable(grain_g()).most_g; };
  const auto least_g = [&] { return grains().believable(grain_g()).least_g; };
  EXPECT_LT(most_g(), 2.0 * grain_g());  // the next day twice as many is not believed
  for (int batch = 0; batch < 7; ++batch) a_batch();
  const double sum_g = 20.0 * 15.76 / 10.0;
  const double twice_as_fast_g = sum_g * 15.76 / 10.0;
  const double half_as_fast_g = sum_g / std::sqrt(15.76 / 10.0);
  EXPECT_GT(most_g(), twice_as_fast_g);
  EXPECT_LT(least_g(), half_as_fast_g);
  EXPECT_LT(most_g(), 2.0 * twice_as_fast_g);
}

TEST_F(GrainsOnAScale, ThatNobodyEverWeighedMayBeThreeTimesAsManyAsTheSetupSays) {
  EXPECT_TRUE(world.says(weigh(60.0)).ok());
}

TEST_F(GrainsOnAScale, OfNoneLeftAnyMassIsBelieved) {
  world.does(Spare{"tilly", SpareUse::eaten, std::nullopt, true});
  EXPECT_TRUE(world.says(weigh(120.0)).ok());
}

TEST_F(GrainsOnAScale, AMassOutOfTheJarWithASlippedPointIsAskedAboutAndTheJarKeepsItsBatch) {
  world.does(start("blue"));
  world.run_for(24h);
  Strain out = strain("blue");
  out.grain_g = 215.0;
  EXPECT_THAT(refused(out), AllOf(HasSubstr("the grains in Blue jar are 21.3 g now"),
                                  HasSubstr("215 g does not go with that")));
  EXPECT_TRUE(world.household().book().in_jar("blue")->fermenting());
  out.grain_g = 21.5;
  EXPECT_TRUE(world.says(out).ok());
}

TEST_F(GrainsOnAScale, WeighedWhileOthersWorkInAJarAreThoseInNoJar) {
  world.does(weigh(42.0));
  world.does(start("blue"));  // takes its 20 g
  world.does(weigh(23.0));
  EXPECT_EQ(grain_g(), 43.0);
  // And as many as all of them are all of them.
  world.does(weigh(44.0));
  EXPECT_EQ(grain_g(), 44.0);
}

TEST_F(GrainsOnAScale, OutOfAJarLeaveThoseWhereTheyAreThatWereKeptBack) {
  world.does(weigh(60.0));
  world.does(start("blue"));  // takes its 20 g
  world.run_for(24h);
  Strain out = strain("blue");
  out.grain_g = 21.0;
  world.does(out);
  EXPECT_EQ(grain_g(), 21.0 + 40.0);
}

TEST_F(GrainsOnAScale, OutOfAJarAreAllOfThemWhenAsManyComeOutAsThereWere) {
  world.does(weigh(60.0));
  world.does(start("blue"));  // so the set-up says; but all of them went in
  world.run_for(24h);
  Strain out = strain("blue");
  out.grain_g = 62.0;
  world.does(out);
  EXPECT_EQ(grain_g(), 62.0);
}

TEST_F(GrainsOnAScale, AddUpTheSameForEverybodyWhoAsks) {
  world.does(weigh(42.0));
  world.does(start("blue"));
  const HouseholdSetup& setup = world.household().setup();
  const GrainSums sums = grain_sums(*setup.culture("tilly"), world.household().book(),
                                    world.household().wanted_grain_g("tilly"));
  EXPECT_EQ(sums.all_g, sums.in_jars_g() + sums.free_g);
  EXPECT_EQ(text_of(sums, setup),
            "42 g of grains: 20 g in Blue jar, 22 g free; the set-up asks for 40 g");
}

TEST_F(GrainsOnAScale, AWeighingIsAnsweredWithWhatItIsUsedFor) {
  const auto answered = [&](double grain_g) {
    return answer_to({1, world.now(), world.now(), {}, weigh(grain_g)}, world.household());
  };
  EXPECT_THAT(answered(70.0),
              AllOf(HasSubstr("Tilly: 70 g of grains"), HasSubstr("20 g were expected"),
                    HasSubstr("30 g are more than the jars want"),
                    HasSubstr("the next start of Blue jar takes 20 g, as set up")));
  EXPECT_THAT(answered(15.0), AllOf(HasSubstr("25 g too few"), HasSubstr("all there are")));
}

}  // namespace
}  // namespace wheymark::test
