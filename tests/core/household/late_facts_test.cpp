// What a person reports an hour late must lead to the same state, to the bit, as if it had been
// reported in time: the instant at which it happened counts, never the one at which we heard of it.
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

// A fact that happened so long after the story began, and was reported so much later.
struct FactRef {
  Milliseconds after;
  Fact fact;
  Milliseconds late{0};
};

// The state of everything at the end of a story in rooms that differ and change.
std::vector<std::string> at_the_end(std::vector<FactRef> story, Milliseconds lasts) {
  World world;
  world.room("kitchen").drifts_to(23.0_degC, 600min);
  world.room("larder").is(27.0_degC);
  world.run_for(10min);
  const Instant began = world.now();
  std::stable_sort(story.begin(), story.end(), [](const FactRef& a, const FactRef& b) {
    return a.after + a.late < b.after + b.late;
  });
  for (const FactRef& told : story) {
    world.run_until(began + told.after + told.late);
    world.does(told.fact, began + told.after);
  }
  world.run_until(began + lasts);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
  return world.all_bits();
}

// The story with its n-th fact reported late.
std::vector<std::string> with_one_late(std::vector<FactRef> story, std::size_t n, Milliseconds late,
                                       Milliseconds lasts) {
  story[n].late = late;
  return at_the_end(std::move(story), lasts);
}

void expect_lateness_to_change_nothing(const std::vector<FactRef>& story, Milliseconds lasts) {
  const auto in_time = at_the_end(story, lasts);
  for (std::size_t n = 0; n < story.size(); ++n) {
    // Not later than what came next about the same jar: that would contradict it.
    for (const Milliseconds late : {Milliseconds(7min), Milliseconds(50min)}) {
      EXPECT_EQ(with_one_late(story, n, late, lasts), in_time)
          << fact_words[story[n].fact.index()] << " told " << late.count() / 60'000 << " min late";
    }
  }
}

TEST(LateFacts, AMoveToldLateIsFollowedFromWhenItHappened) {
  expect_lateness_to_change_nothing({{1h, start("blue")}, {4h + 2min, Move{"blue", "larder"}}}, 9h);
}

TEST(LateFacts, AStartToldLateIsABatchSinceThen) {
  expect_lateness_to_change_nothing({{1h + 3min, start("blue")}}, 9h);
}

TEST(LateFacts, WhatWasSeenOfABatchStillCountsWhenItIsFoldedAgainAfterStraining) {
  expect_lateness_to_change_nothing({{1h, start("blue")},
                                     {11h + 1min, SignSeen{"blue", Sign::set}},
                                     {13h + 2min, PhMeasured{"blue", 4.6}},
                                     {15h + 3min, strain_into("blue", "flask")},
                                     {17h, start("blue")}},
                                    20h);
}

TEST(LateFacts, AnyFactOfAStoryOfTwoJarsMayBeToldLate) {
  expect_lateness_to_change_nothing({{1h, start("blue")},
                                     {2h + 1min, start("red")},
                                     {3h + 2min, Move{"red", "larder"}},
                                     {5h + 3min, SignSeen{"blue", Sign::still_milk}},
                                     {9h + 4min, SignSeen{"red", Sign::thickened}},
                                     {14h + 6min, strain_into("red", "bottle")},
                                     {15h + 7min, store("bottle")},
                                     {17h + 8min, take_out("bottle")},
                                     {19h + 9min, LidPut{"blue", Lid::tight}},
                                     {20h + 11min, Finish{"bottle"}}},
                                    24h);
}

// The clock of a batch in a room is known exactly; a late report must give the same.
TEST(LateFacts, ABatchThatWasLongInTheWarmIsFurtherThanOneThatWasNot) {
  World moved;
  moved.room("kitchen").is(16.0_degC);
  moved.room("larder").is(28.0_degC);
  moved.run_for(10min);
  const Instant began = moved.now();
  moved.does(start("blue"));
  moved.run_for(5h);
  const double before = *moved.state("blue").progress_percent;
  moved.does(Move{"blue", "larder"}, began + 1h);
  EXPECT_GT(*moved.state("blue").progress_percent, 1.5 * before);
  EXPECT_GT(*moved.state("blue").milk_c, 20.0);  // never more than 16 degC in the kitchen
}

// Kefir lives in the fridge for three weeks; facts may be two weeks late.
TEST(LateFacts, AnOldBatchIsFoldedAgainWithTheAirThatItReallyHad) {
  const auto story = [](Milliseconds late) {
    World world;
    for (const char* place : {"kitchen", "larder", "fridge"})
      world.room(place).is_read_every(30min);
    world.run_for(1h);
    world.room("kitchen").is(28.0_degC);
    const Instant began = world.now();
    world.does(start("blue"));
    world.run_for(14h);
    world.does(strain_into("blue", "bottle"));
    world.does(store("bottle"));
    world.room("kitchen").is(15.0_degC);
    world.run_until(began + 24h * 17);
    world.does(start("blue"));
    world.run_until(began + 24h * 17 + 1h + late);
    world.does(take_out("bottle"), began + 24h * 17 + 1h);
    world.run_until(began + 24h * 17 + 4h);
    return world.all_bits();
  };
  EXPECT_EQ(story(2h), story(0h));
}

TEST(LateFacts, AReportToldLateIsCompletedWithWhatWasKnownThen) {
  const auto grain_g = [](bool told_in_time) {
    HouseholdSetup setup = small_setup();
    setup.jars[0].grain_g.reset();
    World world(setup);
    world.run_for(1h);
    world.does(Weigh{"tilly", 22.0});
    world.run_for(1h);
    const Instant then = world.now();
    if (told_in_time) world.does(start("blue"));
    world.run_for(1h);
    world.does(Weigh{"tilly", 31.0});
    if (!told_in_time) world.does(start("blue"), then);
    return *world.state("blue").batch->start.grain_g;
  };
  EXPECT_EQ(grain_g(true), 22.0);
  EXPECT_EQ(grain_g(false), 22.0);
}

TEST(LateFacts, TheIdsOfWhatWasAnnouncedDoNotChange) {
  World world;
  world.run_for(10min);
  world.does(start("blue"), std::nullopt, "a");
  world.run_for(24h);
  world.does(strain_into("blue", "bottle"));
  world.run_for(1h);
  world.does(store("bottle"));
  world.run_for(1h);
  const std::size_t announced = world.announcements().size();
  // Late facts and retractions, before it and during it. The world checks that no id comes twice; a
  // changed id would be one announcement more.
  world.does(Weigh{"moor", 16.0}, world.now() - 40h);
  world.does(SignSeen{"blue", Sign::whey_pockets}, world.now() - 5h, "seen");
  world.does(PhMeasured{"blue", 4.5}, world.now() - 6h);
  world.run_for(1h);
  world.does(Retract{"seen"});
  world.run_for(1h);
  EXPECT_EQ(world.announcements().size(), announced);
}

// Found by the simulated world: an accepted fact was never announced.
TEST_F(OneJar, AStoringThatIsToldWhenTheBottleIsEmptyAlreadyIsAnnouncedAllTheSame) {
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.run_for(5h);
  world.does(Finish{"bottle"});
  EXPECT_THAT(world.told_of("jar-bottle"), ::testing::IsEmpty());
  world.does(store("bottle"), world.now() - 4h);
  EXPECT_THAT(world.told_of("jar-bottle"), ::testing::ElementsAre("stored"));
}

}  // namespace
}  // namespace wheymark::test
