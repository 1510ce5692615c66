// Which facts may be reported of a jar, when, and what is answered if one cannot have happened.
#include <gtest/gtest.h>

#include "core/basis/limits.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::StartsWith;

using Facts = std::vector<Fact>;

// Why the last of some facts is refused, each reported an hour after the one before; "" if not.
std::string refusal_of(Facts before, Fact last) {
  World world;
  for (Fact& fact : before) {
    world.run_for(1h);
    world.does(std::move(fact));
  }
  world.run_for(1h);
  const auto said = world.says(std::move(last));
  return said ? "" : said.why();
}

SignSeen sees(const JarId& jar, Sign sign) {
  return {jar, sign};
}

// Kefir in the bottle, in the fridge; the blue jar is empty.
const Facts stored{start("blue"), strain_into("blue", "bottle"), store("bottle")};
// Kefir in the bottle, on the counter.
const Facts strained{start("blue"), strain_into("blue", "bottle")};

TEST(Facts, ABatchGoesItsWayFromGrainsToTheLastGlass) {
  EXPECT_EQ(refusal_of({}, start("blue")), "");
  EXPECT_EQ(refusal_of({start("blue")}, sees("blue", Sign::set)), "");
  EXPECT_EQ(refusal_of({start("blue")}, PhMeasured{"blue", 4.6}), "");
  EXPECT_EQ(refusal_of({start("blue")}, Move{"blue", "larder"}), "");
  EXPECT_EQ(refusal_of({start("blue")}, Move{"blue", "fridge"}), "");  // to hold it back
  EXPECT_EQ(refusal_of({start("blue")}, LidPut{"blue", Lid::tight}), "");
  EXPECT_EQ(refusal_of({start("blue")}, strain("blue")), "");
  EXPECT_EQ(refusal_of({start("blue")}, strain_into("blue", "blue")), "");
  EXPECT_EQ(refusal_of({start("blue")}, discard("blue")), "");
  EXPECT_EQ(refusal_of(strained, store("bottle")), "");
  EXPECT_EQ(refusal_of(strained, Finish{"bottle"}), "");
  EXPECT_EQ(refusal_of(strained, start("blue")), "");  // it is empty again
  EXPECT_EQ(refusal_of(strained, PhMeasured{"bottle", 4.3}), "");
  EXPECT_EQ(refusal_of(stored, take_out("bottle")), "");
  EXPECT_EQ(refusal_of(stored, Finish{"bottle"}), "");
  EXPECT_EQ(refusal_of(stored, discard("bottle")), "");
  EXPECT_EQ(refusal_of({}, weigh(21.0)), "");
}

TEST(Facts, NothingIsDoneToAnEmptyJar) {
  for (const Fact& fact :
       {Fact{sees("blue", Sign::set)}, Fact{PhMeasured{"blue", 4.5}}, Fact{Move{"blue", "larder"}},
        Fact{LidPut{"blue", Lid::tight}}, Fact{strain("blue")}, Fact{store("blue")},
        Fact{take_out("blue")}, Fact{Finish{"blue"}}, Fact{discard("blue")}}) {
    EXPECT_THAT(refusal_of({}, fact),
                AllOf(StartsWith("Blue jar holds nothing at Mon 1 Mar 09:00; ")))
        << fact_words[fact.index()];
    // Neither to one that was emptied.
    EXPECT_THAT(refusal_of({start("blue"), discard("blue")}, fact),
                StartsWith("Blue jar holds nothing at Mon 1 Mar 11:00; "))
        << fact_words[fact.index()];
    EXPECT_THAT(refusal_of(strained, fact),
                StartsWith("Blue jar holds nothing at Mon 1 Mar 11:00; "))
        << fact_words[fact.index()];
  }
}

TEST(Facts, AJarHoldsOneBatch) {
  EXPECT_EQ(refusal_of({start("blue")}, start("blue")),
            "Blue jar holds a batch since Mon 1 Mar 09:00; strain or discard it first");
  EXPECT_EQ(refusal_of({start("blue"), start("red")}, strain_into("red", "blue")),
            "Blue jar holds a batch with its grains since Mon 1 Mar 09:00; strain it first, or "
            "strain into another jar");
  EXPECT_THAT(refusal_of({start("blue"), strain("blue"), store("blue")}, start("blue")),
              HasSubstr("holds kefir in the fridge since Mon 1 Mar 11:00; finish or discard"));
}

TEST(Facts, WhatIsSaidOfGrainsNeedsGrains) {
  for (const Fact& fact : {Fact{sees("bottle", Sign::set)}, Fact{strain("bottle")}}) {
    EXPECT_THAT(refusal_of(strained, fact), StartsWith("Bottle was strained at Mon 1 Mar 10:00; "));
  }
}

TEST(Facts, WhatIsSaidOfKefirNeedsStrainedKefir) {
  EXPECT_EQ(refusal_of({start("blue")}, Finish{"blue"}),
            "Blue jar still has its grains in it; strain it before you finish it, or discard it");
  EXPECT_THAT(refusal_of({start("blue")}, Pour{"blue", {}}), HasSubstr("before you pour from it"));
}

TEST(Facts, TheFridgeIsEnteredAndLeftOnce) {
  EXPECT_EQ(refusal_of(stored, store("bottle")),
            "Bottle is in the fridge already, since Mon 1 Mar 11:00");
  EXPECT_EQ(refusal_of(strained, take_out("bottle")), "Bottle is not in the fridge");
}

TEST(Facts, KefirIsTakenToARoomAndNotToAFridge) {
  EXPECT_EQ(refusal_of(strained, Move{"bottle", "larder"}), "");
  EXPECT_EQ(refusal_of(stored, Take{"bottle", "fridge"}),
            "\"fridge\" is a fridge; say the room to which it is taken");
}

TEST(Facts, StrainedKefirThatWasPouredOutWithoutAWordIsOverWhenMoreComesOutOfTheJar) {
  World world;
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain("blue"));
  world.run_for(1h);
  world.does(start("blue"));
  const auto& batches = world.household().book().batches();
  ASSERT_EQ(batches.size(), 2u);
  EXPECT_TRUE(batches[0].without_bottle && !batches[0].ended);
  EXPECT_EQ(world.state("blue").batch->started, world.now());
  world.run_for(20h);
  world.does(strain("blue"));
  world.run_for(1h);
  world.does(start("blue"));
  ASSERT_TRUE(batches[0].ended);
  EXPECT_EQ(batches[0].ended->how, Ending::untold);
  EXPECT_EQ(world.state("blue").batch->started, world.now());
  // Its computation is dropped with it: nobody needs its weeks of air.
  EXPECT_EQ(world.household().fermentation(batches[0]), nullptr);
  EXPECT_NE(world.household().fermentation(batches[1]), nullptr);
}

// --- late, taken back, said twice ---------------------------------------------------------------

TEST(Facts, ALateFactThatMakesALaterOneImpossibleIsRefusedNamingIt) {
  World world;
  world.run_for(1h);
  const Instant early = world.now();
  world.run_for(1h);
  world.does(start("blue"));
  world.run_for(2h);
  world.does(sees("blue", Sign::thickened));
  world.run_for(1h);
  // Discarded before the sign was seen?
  const auto said = world.says(discard("blue"), early + 90min);
  ASSERT_FALSE(said);
  EXPECT_EQ(said.why(),
            "it does not go with the sign of Mon 1 Mar 12:00: Blue jar holds nothing at Mon 1 Mar "
            "12:00; what it held was discarded Mon 1 Mar 10:30; start a batch first");
  // Another batch before this one, never strained.
  const auto other = world.says(start("blue"), early);
  ASSERT_FALSE(other);
  EXPECT_THAT(other.why(), StartsWith("it does not go with the start of Mon 1 Mar 10:00: "));
  // A fact that itself cannot have happened then is refused for that.
  const auto itself = world.says(strain("blue"), early);
  ASSERT_FALSE(itself);
  EXPECT_THAT(itself.why(), StartsWith("Blue jar holds nothing at Mon 1 Mar 09:00; "));
  EXPECT_EQ(world.household().book().batches().size(), 1u);
}

TEST(Facts, WhatIsTakenBackHasNeverBeen) {
  World world;
  world.run_for(1h);
  const auto before = world.all_bits();
  world.does(start("blue"), std::nullopt, "a");
  EXPECT_NE(world.all_bits(), before);
  world.does(Retract{"a"});
  EXPECT_EQ(world.all_bits(), before);
  EXPECT_EQ(world.household().fermentation(Batch{}), nullptr);
  EXPECT_THAT(world.household().book().batches(), IsEmpty());
}

TEST(Facts, OnlyWhatStandsCanBeTakenBack) {
  World world;
  world.run_for(1h);
  EXPECT_EQ(world.says(Retract{"x"}).why(), "nothing was said with the ref \"x\"");
  world.does(start("blue"), std::nullopt, "a");
  world.run_for(1h);
  world.does(sees("blue", Sign::still_milk), std::nullopt, "b");
  const auto contradicting = world.says(Retract{"a"});
  ASSERT_FALSE(contradicting);
  EXPECT_THAT(contradicting.why(),
              StartsWith("it does not go with the sign of Mon 1 Mar 10:00 (ref \"b\"): "));
  world.does(Retract{"b"});
  EXPECT_EQ(world.says(Retract{"b"}).why(), "\"b\" was taken back already");
  world.does(Retract{"a"});
}

TEST(Facts, ThatARefWasTakenBackIsToldToWhoSaysItAgain) {
  World world;
  world.run_for(1h);
  world.does(start("blue"), std::nullopt, "a");
  world.does(Retract{"a"});
  const auto again = world.says(start("blue"), std::nullopt, "a");
  ASSERT_FALSE(again) << "it would have counted for nothing and been called accepted";
  EXPECT_EQ(again.why(),
            "what was said with the ref \"a\" was taken back; say it again with another");
  world.does(start("blue"), std::nullopt, "a2");
}

TEST(Facts, TheSameRefTwiceIsOneFact) {
  World world;
  world.run_for(1h);
  const FactRecord first = world.does(start("blue"), std::nullopt, "a");
  world.run_for(1h);
  const FactRecord again = world.does(start("blue"), std::nullopt, "a");
  EXPECT_EQ(again.number, first.number);
  EXPECT_EQ(again.at, first.at);
  // Even if it comes with another fact: the ref identifies the fact.
  EXPECT_EQ(world.does(discard("blue"), std::nullopt, "a").number, first.number);
  EXPECT_EQ(world.household().book().batches().size(), 1u);
}

TEST(Facts, AreNumberedInTheOrderOfTellingAndNoNumberComesTwice) {
  World world;
  world.run_for(2h);
  EXPECT_EQ(world.does(weigh(20.0)).number, 1u);
  EXPECT_EQ(world.does(weigh(21.0), world.now() - 1h, "late").number, 2u);
  EXPECT_EQ(world.does(Retract{"late"}).number, 3u);
  EXPECT_FALSE(world.says(strain("blue")));  // a refusal uses none up
  EXPECT_EQ(world.does(weigh(22.0)).number, 4u);
}

TEST(Facts, OfTwoAtOneInstantTheOneToldLaterHappenedLater) {
  World world;
  world.run_for(1h);
  world.does(start("blue"));
  world.run_for(5h);
  const Instant then = world.now();
  world.run_for(1h);
  world.does(strain("blue"), then);
  world.does(weigh(20.0), then);
  EXPECT_EQ(world.household().book().weighed_grain_g("tilly"), 20.0);
  EXPECT_FALSE(world.state("blue").batch->fermenting());
}

TEST(Facts, TheLastWeighingInTimeCountsNotTheLastTold) {
  World world;
  world.run_for(3h);
  world.does(weigh(30.0));
  world.does(weigh(22.0), world.now() - 2h);
  EXPECT_EQ(world.household().book().weighed_grain_g("tilly"), 30.0);
}

// --- where a jar stands -------------------------------------------------------------------------

std::vector<std::string> places_of(const Batch& batch) {
  std::vector<std::string> places;
  for (const Stay& stay : batch.stays) places.push_back(stay.jar.text() + "@" + stay.place.text());
  return places;
}

TEST(Facts, ABatchGoesFromJarToJarAndPlaceToPlace) {
  World world;
  world.does(start("blue"));
  world.run_for(1h);
  world.does(Move{"blue", "larder"});
  world.run_for(1h);
  world.does(strain_into("blue", "bottle"));
  world.run_for(1h);
  world.does(store("bottle"));
  world.run_for(1h);
  world.does(take_out("bottle"));
  const Batch& batch = *world.state("bottle").batch;
  EXPECT_THAT(places_of(batch), ElementsAre("blue@kitchen", "blue@larder", "bottle@larder",
                                            "bottle@fridge", "bottle@kitchen"));
  EXPECT_EQ(world.state("blue").batch, nullptr);
  EXPECT_FALSE(batch.in_fridge);
  ASSERT_EQ(batch.stored.size(), 1u);
}

}  // namespace
}  // namespace wheymark::test
