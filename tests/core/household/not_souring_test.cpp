// Milk with grains that is still milk after a day in the warm: told once, as what is thrown out.
#include "core/household/not_souring.hpp"

#include <gtest/gtest.h>

#include "core/announce/alerts.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

class MilkWithGrains : public OneJar {
 protected:
  MilkWithGrains() {
    room.is(21.0_degC);
    world.run_for(10min);
    world.does(start("blue"));
  }
  [[nodiscard]] std::vector<std::string> alerts() {
    std::vector<std::string> ids;
    const JarSetup& blue = *world.household().setup().jar("blue");
    for (const Alert& alert : harm_alerts(blue, jar(), world.household(), world.now())) {
      ids.push_back(alert.id);
    }
    return ids;
  }
};

TEST_F(MilkWithGrains, ThatIsStillMilkAfterADayInTheWarmIsThrownOut) {
  world.run_for(30h);
  world.does(SignSeen{"blue", Sign::still_milk});
  EXPECT_EQ(world.the("not-souring").time, world.now());
  EXPECT_THAT(world.the("not-souring").text, HasSubstr("do not taste it, throw it out"));
  EXPECT_THAT(world.the("not-souring").caution.value_or(""), HasSubstr("food-safety advice"));
  EXPECT_THAT(alerts(), Contains("not-souring"));
  EXPECT_EQ(jar().stage, Stage::working);
  EXPECT_FALSE(jar().forecast.peak_opens.p50);

  // Whatever the forecast would have said: nobody is told that sour is usual.
  world.run_for(72h);
  world.does(SignSeen{"blue", Sign::still_milk});
  const auto kinds = told();
  EXPECT_EQ(std::count(kinds.begin(), kinds.end(), "not-souring"), 1);
  const auto since = std::find(kinds.begin(), kinds.end(), "not-souring");
  EXPECT_EQ(std::find(since, kinds.end(), "over-fermented"), kinds.end());
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(MilkWithGrains, WhoseMeasuredPhIsThatOfMilkIsThrownOut) {
  world.run_for(30h);
  world.does(PhMeasured{"blue", 6.4});
  EXPECT_THAT(world.the("not-souring").text, HasSubstr("pH 6.4 after 30 h"));
}

TEST_F(MilkWithGrains, IsUsuallyStillMilkInItsFirstHours) {
  world.run_for(6h);
  world.does(SignSeen{"blue", Sign::still_milk});
  world.run_for(48h);
  EXPECT_THAT(told(), Not(Contains("not-souring")));
  EXPECT_THAT(alerts(), IsEmpty());
}

TEST_F(MilkWithGrains, ThatSoursAfterAllIsNoLongerTalkedAbout) {
  world.run_for(30h);
  world.does(SignSeen{"blue", Sign::still_milk});
  world.run_for(3h);
  world.does(SignSeen{"blue", Sign::set});
  EXPECT_THAT(alerts(), Not(Contains("not-souring")));
  EXPECT_TRUE(jar().forecast.peak_opens.p50);
}

TEST_F(MilkWithGrains, InTheColdMayTakeDays) {
  world.does(discard("blue"));
  room.is(9.0_degC);
  world.run_for(6h);
  world.does(start("blue"));
  world.run_for(30h);
  world.does(SignSeen{"blue", Sign::still_milk});
  EXPECT_THAT(told(), Not(Contains("not-souring")));
}

TEST_F(MilkWithGrains, ThatDoesNotSourIsAnsweredAtOnce) {
  world.run_for(30h);
  const FactRecord look{99, world.now(), world.now(), {}, SignSeen{"blue", Sign::still_milk}};
  EXPECT_THAT(remark_on_souring(look, world.household()), HasSubstr("throw it out"));
  const FactRecord good{99, world.now(), world.now(), {}, SignSeen{"blue", Sign::set}};
  EXPECT_THAT(remark_on_souring(good, world.household()), IsEmpty());
}

}  // namespace
}  // namespace wheymark::test
