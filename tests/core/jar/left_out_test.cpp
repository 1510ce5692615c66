// Kefir that stands out of the fridge is told of in time, by how warm it truly is.
#include "core/jar/left_out.hpp"

#include <gtest/gtest.h>

#include "core/announce/alerts.hpp"
#include "core/household/jar_state.hpp"
#include "core/kinetics/cold_storage.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

class KefirOnTheTable : public OneJar {
 protected:
  Instant strained{};

  void is_strained() {
    world.does(start("blue"));
    world.run_for(20h);
    world.does(strain_into("blue", "bottle"));
    strained = world.now();
  }
  [[nodiscard]] std::vector<std::string> told_of_it() const { return world.told_of("jar-bottle"); }
};

TEST_F(KefirOnTheTable, IsToldOfAfterADayAtRoomWarmthAndAgainWhenItIsTooOld) {
  is_strained();
  world.run_for(24h * 8);
  EXPECT_EQ(std::ranges::count(told_of_it(), "left-out"), 2);
  const Announcement& first = world.the("left-out");
  EXPECT_NEAR(hours_between(strained, first.time), 24.0, 1.0);  // the room has 20 degC
  EXPECT_THAT(first.text, HasSubstr("put it in the fridge"));
  EXPECT_THAT(first.caution.value_or(""), HasSubstr("food-safety advice"));
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(KefirOnTheTable, IsNoLongerToBeStoredOnceItIsTooOld) {
  is_strained();
  const auto alert_now = [&] {
    const HouseholdSetup& setup = world.household().setup();
    const auto all =
        harm_alerts(*setup.jar("bottle"), world.state("bottle"), world.household(), world.now());
    const auto found = std::ranges::find(all, "left-out", &Alert::id);
    return found == all.end() ? std::string() : found->text;
  };
  EXPECT_EQ(alert_now(), "");
  world.run_for(26h);
  EXPECT_THAT(alert_now(), HasSubstr("store it or throw it out"));
  world.run_for(24h * 7);
  EXPECT_THAT(alert_now(), HasSubstr("throw it out"));
  EXPECT_THAT(alert_now(), Not(HasSubstr("store it")));
}

TEST_F(KefirOnTheTable, IsToldOfSoonerInAHotKitchenAndLaterInAColdOne) {
  room.is(28.0_degC);
  is_strained();
  world.run_for(23h);
  EXPECT_THAT(told_of_it(), Contains("left-out"));

  World cold;
  cold.room("kitchen").is(10.0_degC);
  cold.does(start("blue"));
  cold.run_for(20h);
  cold.does(strain_into("blue", "bottle"));
  cold.run_for(30h);
  EXPECT_THAT(cold.told_of("jar-bottle"), Not(Contains("left-out")));
}

TEST_F(KefirOnTheTable, ThatIsStoredInTimeIsNotToldOf) {
  is_strained();
  world.run_for(12h);
  world.does(store("bottle"));
  world.run_for(24h * 5);
  EXPECT_THAT(told_of_it(), Not(Contains("left-out")));
}

// Stored at once it is best for two weeks (common practice). A day on the table is usual; what is
// longer has aged it before the fridge does.
TEST_F(KefirOnTheTable, HasItsDatesSoonerTheLongerItStoodThere) {
  const auto best_for_days_after = [](std::chrono::hours on_the_table) {
    World home;
    home.does(start("blue"));
    home.run_for(20h);
    home.does(strain_into("blue", "bottle"));
    home.run_for(on_the_table);
    home.does(store("bottle"));
    home.run_for(24h);
    const JarState state = jar_state(home.household(), "bottle", home.now());
    return hours_between(state.kept->stored, state.kept->best_by) / 24.0;
  };
  EXPECT_DOUBLE_EQ(best_for_days_after(1h), 14.0);
  EXPECT_DOUBLE_EQ(best_for_days_after(23h), 14.0);
  const double a_day_longer = ageing_rate(20.0_degC, default_parameters());
  EXPECT_NEAR(best_for_days_after(48h), 14.0 - a_day_longer, 0.25);
  EXPECT_LE(best_for_days_after(24h * 6), 0.0);
  is_strained();
  world.run_for(24h * 6);
  world.does(store("bottle"));
  EXPECT_THAT(world.the("stored").text, HasSubstr("Its last day was"));
}

TEST_F(KefirOnTheTable, ThatWasTakenOutOfTheFridgeIsToldOfAsWell) {
  is_strained();
  world.does(store("bottle"));
  world.run_for(24h * 3);
  world.does(Take{"bottle", {}});
  world.run_for(40h);
  EXPECT_THAT(told_of_it(), Contains("left-out"));
}

}  // namespace
}  // namespace wheymark::test
