// An alert is shown as long as it stands, and no longer.
#include "core/announce/alerts.hpp"

#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;

class Alerts : public OneJar {
 protected:
  [[nodiscard]] std::vector<std::string> of_place(const PlaceId& place) {
    return ids(
        warmth_alerts(*world.household().setup().place(place), world.household(), world.now()));
  }
  [[nodiscard]] std::vector<std::string> of_tilly() {
    const CultureSetup& tilly = *world.household().setup().culture("tilly");
    return ids(alerts_of(tilly, grains_state(tilly, world.household(), world.now())));
  }
  static std::vector<std::string> ids(const std::vector<Alert>& all) {
    std::vector<std::string> ids;
    for (const Alert& one : all) ids.push_back(one.id);
    return ids;
  }
};

TEST_F(Alerts, OfAFridgeThatIsTooWarmStandUntilItIsColdAgain) {
  world.run_for(1h);
  EXPECT_THAT(of_place("fridge"), IsEmpty());
  fridge.is(9.0_degC);
  world.run_for(6h);
  EXPECT_THAT(of_place("fridge"), ElementsAre("fridge-too-warm"));
  fridge.is(4.0_degC);
  world.run_for(6h);
  EXPECT_THAT(of_place("fridge"), IsEmpty());
  EXPECT_EQ(world.told_of("place-fridge").size(), 1u);  // and was announced once
}

TEST_F(Alerts, OfARoomsWarmthStandOnlyWhileGrainsWorkInIt) {
  room.is(33.0_degC);
  world.run_for(6h);
  EXPECT_THAT(of_place("kitchen"), IsEmpty());
  world.does(start("blue"));
  EXPECT_THAT(of_place("kitchen"), ElementsAre("room-too-warm"));
  world.run_for(10h);
  world.does(strain("blue"));
  EXPECT_THAT(of_place("kitchen"), IsEmpty());
}

TEST_F(Alerts, OfGrainsThatAreHungryOrMustGoStand) {
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain("blue"));
  EXPECT_THAT(of_tilly(), IsEmpty());
  world.run_for(30h);
  EXPECT_THAT(of_tilly(), ElementsAre("grains-hungry"));
  world.does(Inspect{"tilly", GrainColour::green, {}, {}});
  EXPECT_THAT(of_tilly(), ElementsAre("discard-grains"));
  world.does(Spare{"tilly", SpareUse::thrown_away, {}, true});
  EXPECT_THAT(of_tilly(), IsEmpty());
}

}  // namespace
}  // namespace wheymark::test
