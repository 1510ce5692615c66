// The pressure under a tight lid, and when it is announced.
#include <cmath>
#include <gtest/gtest.h>

#include "core/jar/lid_pressure.hpp"
#include "core/kinetics/gas.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

class ALid : public OneJar {
 protected:
  void starts(Lid lid) {
    Start said = start("blue");
    said.lid = lid;
    world.does(said);
  }
  [[nodiscard]] std::ptrdiff_t times_told(const std::string& subject = "jar-blue") {
    const auto kinds = world.told_of(subject);
    return std::count(kinds.begin(), kinds.end(), "vent-lid");
  }
};

TEST_F(ALid, ThatIsLooseHasNoPressureAndNeedsNoWord) {
  starts(Lid::loose);
  world.run_for(48h);
  EXPECT_FALSE(jar().pressure_kpa);
  EXPECT_EQ(times_told(), 0);
}

// Gas shared between milk (Henry) and headspace (ideal gas), with the constants of Sander's
// compilation (2023): 3.4e-4 mol/(m3 Pa) at 298.15 K, 2400 K.
TEST_F(ALid, ThatIsTightHoldsTheGasThatHenryAndTheIdealGasLeaveInTheHeadspace) {
  starts(Lid::tight);
  world.run_for(20h);

  const Batch& batch = *jar().batch;
  const Condition now = *world.household().condition(batch, world.now());
  const double formed_g_per_l = carbon_dioxide_g_per_l(
      now.gas_clock_h, {MilkKind::cow_whole, Treatment::pasteurised, 950.0, 20.0},
      default_parameters());
  const double kelvin = now.milk.degrees() + 273.15;
  const double mol = formed_g_per_l * 0.950 / 44.01;
  const double henry = 3.4e-4 * std::exp(2400.0 * (1.0 / kelvin - 1.0 / 298.15));
  const double pa = mol / (henry * 950e-6 + 300e-6 / (8.314463 * kelvin));

  ASSERT_TRUE(jar().pressure_kpa);
  EXPECT_NEAR(*jar().pressure_kpa, pa / 1000.0, 0.01);
}

TEST_F(ALid, OnlyShutsInWhatFormsAfterItIsClosed) {
  starts(Lid::loose);
  world.run_for(20h);
  world.does(LidPut{"blue", Lid::tight});
  ASSERT_TRUE(jar().pressure_kpa);
  EXPECT_NEAR(*jar().pressure_kpa, 0.0, 1e-9);
  world.run_for(4h);
  EXPECT_GT(*jar().pressure_kpa, 5.0);
}

TEST_F(ALid, IsToldOfAfterADayOnceWithTheCautionAboutGlass) {
  starts(Lid::tight);
  const Instant closed = world.now();
  world.run_for(60h);
  ASSERT_EQ(times_told(), 1);
  EXPECT_EQ(world.the("vent-lid").time, closed + 24h);
  EXPECT_THAT(world.the("vent-lid").caution.value_or(""), HasSubstr("can burst"));
  EXPECT_THAT(world.the("vent-lid").text, HasSubstr("rough estimate"));
}

TEST_F(ALid, InAHotKitchenWithLittleRoomIsToldOfBeforeTheDayIsOver) {
  room.is(29.0_degC);
  Start full = start("blue");
  full.lid = Lid::tight;
  full.milk_ml = 1200.0;
  full.grain_g = 80.0;
  world.does(full);
  const Instant closed = world.now();
  world.run_for(30h);
  ASSERT_EQ(times_told(), 1);
  EXPECT_LT(world.the("vent-lid").time, closed + 20h);
}

TEST_F(ALid, ThatIsOpenedAndClosedBeginsAnew) {
  starts(Lid::tight);
  world.run_for(25h);
  world.does(LidPut{"blue", Lid::loose});
  world.does(LidPut{"blue", Lid::tight});
  world.run_for(25h);
  EXPECT_EQ(times_told(), 2);
}

TEST_F(ALid, OfABottleInTheFridgeIsToldOfAfterSomeDays) {
  starts(Lid::loose);
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.does(store("bottle"));
  const Instant closed = world.now();
  EXPECT_EQ(world.state("bottle").batch->lid, Lid::tight);  // a bottle is closed
  world.run_for(24h * 8);
  ASSERT_EQ(times_told("jar-bottle"), 1);
  EXPECT_EQ(world.the("vent-lid").time, closed + std::chrono::days{5});
}

TEST_F(ALid, OfABottleThatIsKeptLooseNeedsNoWord) {
  starts(Lid::loose);
  world.run_for(20h);
  Strain loosely = strain_into("blue", "bottle");
  loosely.lid = Lid::loose;
  world.does(loosely);
  world.does(store("bottle"));
  world.run_for(24h * 8);
  EXPECT_EQ(times_told("jar-bottle"), 0);
}

// Poured onto older kefir there is more of it, and less room for its gas.
TEST_F(ALid, OfABottleThatIsFilledUpPressesHarder) {
  const auto pressure = [](bool filled_up) {
    World again;
    Start half = start("blue");
    half.milk_ml = 450.0;
    again.does(half);
    half.jar = "red";
    again.does(half);
    again.run_for(20h);
    again.does(strain_into("blue", "bottle"));
    if (filled_up) again.does(strain_into("red", "bottle"));
    again.run_for(6h);
    return *again.state("bottle").pressure_kpa;
  };
  // The same gas a litre. By Henry and the ideal gas: P = c V / (H V + V_head / (R T)), with H of
  // Sander's compilation (2023) at 20 degC; the bottle holds 1000 mL.
  const double henry = 3.4e-4 * std::exp(2400.0 * (1.0 / 293.15 - 1.0 / 298.15));
  const auto by_gas = [&](double ml) {
    return ml / (henry * ml + (1000.0 - ml) / (8.314463 * 293.15));
  };
  EXPECT_NEAR(pressure(true) / pressure(false), by_gas(900.0) / by_gas(450.0), 0.01);
}

// It was once announced as closed for a negative time, with the pressure of before.
TEST_F(ALid, ThatWasOpenedToPourOnBeginsAnew) {
  starts(Lid::loose);
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.run_for(48h);
  ASSERT_EQ(times_told("jar-bottle"), 1);
  starts(Lid::loose);
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  EXPECT_EQ(times_told("jar-bottle"), 1);
  EXPECT_NEAR(*world.state("bottle").pressure_kpa, 0.0, 1e-9);
  world.run_for(25h);
  EXPECT_EQ(times_told("jar-bottle"), 2);
}

TEST_F(ALid, PressesTheSameWhetherItIsToldInTimeOrLate) {
  const auto pressure = [](Milliseconds late) {
    World again;
    again.room("kitchen").drifts_to(24.0_degC, 900min);
    again.does(start("blue"));
    again.run_for(10h + 2min);
    const Instant closed = again.now();
    again.run_for(late);
    again.does(LidPut{"blue", Lid::tight}, closed);
    again.run_until(closed + 20h);
    return *again.state("blue").pressure_kpa;
  };
  EXPECT_EQ(pressure(0min), pressure(50min));
}

}  // namespace
}  // namespace wheymark::test
