// What makes no sense in a kitchen is refused with what would make sense; nothing changes.
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

// What was done before, each followed by an hour; what is reported then; what the refusal must
// contain: what was found, and what would make sense.
struct Nonsense {
  const char* name;
  std::vector<Fact> before;
  Fact said;
  std::vector<std::string> refusal;
};

class ThatMakesNoSense : public ::testing::TestWithParam<Nonsense> {};

Start with_grains(const JarId& jar, double grain_g) {
  Start said = start(jar);
  said.grain_g = grain_g;
  return said;
}

std::vector<Nonsense> nonsense() {
  const Fact in_milk = start("blue");
  const Fact straining = strain_into("blue", "bottle");
  const Fact storing = store("bottle");
  return {
      {"StrainingAnEmptyJar",
       {},
       strain("blue"),
       {"Blue jar holds nothing", "start a batch first"}},
      {"StrainingTwice",
       {in_milk, straining},
       straining,
       {"was strained into Bottle Mon 1 Mar 09:00", "start a batch first"}},
      {"StrainingABottle", {in_milk, straining, storing}, strain("bottle"), {"was strained at"}},
      {"StrainingOntoGrains",
       {in_milk, start("red")},
       strain_into("blue", "red"),
       {"Red jar holds a batch with its grains", "strain it first, or strain into another jar"}},
      {"FillingABottleFromAnEmptyJar",
       {},
       StoreAway{"bottle", {}, "blue"},
       {"no kefir of Blue jar waits for a bottle", "strain it first"}},
      {"FillingAFullBottle",
       {in_milk, strain_into("blue", "flask"), Finish{"blue"}, in_milk, strain("blue")},
       StoreAway{"flask", {}, "blue"},
       {"Flask is full: it holds 500 mL of kefir", "finish it first"}},
      {"StoringNothing", {}, store("bottle"), {"Bottle holds nothing", "strain a batch into it"}},
      {"StoringTwice",
       {in_milk, straining, storing},
       storing,
       {"is in the fridge already, since Mon"}},
      {"TakingOutAnEmptyBottle", {}, take_out("bottle"), {"Bottle holds nothing"}},
      {"TakingOutWhatIsOnTheTable",
       {in_milk, straining},
       take_out("bottle"),
       {"Bottle is not in the fridge"}},
      {"TakingOutIntoAFridge",
       {in_milk, straining, storing},
       Take{"bottle", "fridge"},
       {"is a fridge", "say the room"}},
      {"PouringFromAnEmptyBottle",
       {in_milk, straining, Finish{"bottle"}},
       Pour{"bottle", {}},
       {"Bottle holds nothing", "was finished Mon 1 Mar 10:00", "strain a batch into it"}},
      {"PouringFromAJarWithItsGrains",
       {in_milk},
       Pour{"blue", {}},
       {"grains in it", "strain it before you pour from it"}},
      {"PouringMuchMoreThanThereIs",
       {in_milk, straining},
       Pour{"bottle", 1500.0},
       {"Bottle holds about 950 mL", "1500 mL", "say finish"}},
      {"StrainingMuchMoreThanWentIn",
       {in_milk},
       Strain{"blue", {{"bottle", 900.0}, {"flask", 500.0}}, {}, {}},
       {"1400 mL cannot have come out of Blue jar",
        "950 mL of milk went into it at Mon 1 Mar 08:00"}},
      {"StrainingIntoOneBottleTwice",
       {in_milk},
       Strain{"blue", {{"bottle", 400.0}, {"bottle", 500.0}}, {}, {}},
       {"\"bottle\" is named twice"}},
      {"FinishingAnEmptyJar",
       {},
       Finish{"blue"},
       {"Blue jar holds nothing", "strain a batch into it"}},
      {"FinishingABatchWithItsGrains",
       {in_milk},
       Finish{"blue"},
       {"grains in it", "strain it before"}},
      {"FinishingABottleTwice",
       {in_milk, straining, storing, Finish{"bottle"}},
       Finish{"bottle"},
       {"Bottle holds nothing", "was finished Mon 1 Mar 11:00", "strain a batch into it"}},
      {"DiscardingNothing", {}, discard("blue"), {"Blue jar holds nothing", "nothing to discard"}},
      {"StartingInAFullJar",
       {in_milk},
       start("blue"),
       {"holds a batch since Mon 1 Mar 08:00", "strain or discard it"}},
      {"ASignOfAnEmptyJar", {}, SignSeen{"blue", Sign::set}, {"start a batch first"}},
      {"WashingAFullJar", {in_milk}, Wash{"blue"}, {"Blue jar is not empty", "a batch since"}},
      {"MoreGrainsGivenAwayThanThereAre",
       {},
       Spare{"tilly", SpareUse::given_away, 21.0, false},
       {"about 20.0 g", "fewer than 21 g", "weigh them first"}},
      {"GrainsEatenThatAreInAJar",
       {in_milk},
       Spare{"tilly", SpareUse::eaten, 5.0, false},
       {"Blue jar still has grains of Tilly in it", "0.0 g are out of jars", "strain or discard"}},
      {"AllOfThemThrownAwayWhileSomeWorkInAJar",
       {in_milk},
       Spare{"tilly", SpareUse::thrown_away, {}, true},
       {"Blue jar still has grains of Tilly in it", "strain or discard it first"}},
      {"MoreSplitOffThanThereAre",
       {},
       Split{"tilly", "moor", 30.0},
       {"about 20.0 g", "fewer than 30 g", "weigh them first"}},
      {"GrainsSplitOffThatAreInAJar",
       {with_grains("blue", 15.0)},
       Split{"tilly", "moor", 8.0},
       {"Blue jar", "5.0 g are out of jars", "strain or discard it first"}},
      {"SplittingARestingCulture",
       {Rest{"tilly", {}}},
       Split{"tilly", "moor", 8.0},
       {"Tilly rests in the fridge since Mon 1 Mar 08:00", "say wake"}},
      {"SplittingIntoItself", {}, Split{"tilly", "tilly", 8.0}, {"name the other culture"}},
      {"WakingWhatDoesNotRest", {}, Wake{"tilly"}, {"Tilly is not resting", "say rest when"}},
      {"RestingWhatWorksInAJar", {in_milk}, Rest{"tilly", {}}, {"Blue jar", "strain it first"}},
      {"AWeighingOfNothing",
       {},
       Weigh{"tilly", 0.0},
       {"is 0 g; allowed are 0.5 to 2000 g", "say spare with \"all\": true"}},
      {"AWeighingOfTenKilograms",
       {},
       Weigh{"tilly", 10'000.0},
       {"is 10000 g; allowed are 0.5 to 2000 g", "without jar and milk"}},
      {"TakingBackWhatWasNeverSaid",
       {},
       Retract{"b-17"},
       {"nothing was said with the ref \"b-17\""}}};
}

TEST_P(ThatMakesNoSense, IsRefusedWithWhatWouldAndChangesNothing) {
  World world;
  for (const Fact& fact : GetParam().before) {
    world.does(fact);
    world.run_for(1h);
  }
  const std::vector<std::string> before = world.all_bits();
  const double tilly_g = world.household().book().grain_g(world.household().setup().cultures[0]);

  const auto said = world.says(GetParam().said);

  ASSERT_FALSE(said);
  for (const std::string& part : GetParam().refusal) EXPECT_THAT(said.why(), HasSubstr(part));
  EXPECT_EQ(world.all_bits(), before);
  EXPECT_EQ(world.household().book().grain_g(world.household().setup().cultures[0]), tilly_g);
}

INSTANTIATE_TEST_SUITE_P(InAKitchen, ThatMakesNoSense, ::testing::ValuesIn(nonsense()),
                         [](const auto& one) { return std::string(one.param.name); });

}  // namespace
}  // namespace wheymark::test
