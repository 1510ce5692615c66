// Sugar in strained kefir: gas by its own clock, warned of by the quickest kefirs.
#include <gtest/gtest.h>

#include "core/kinetics/cold_storage.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

class ASecondFerment : public ::testing::Test {
 protected:
  World world;
  Instant begun{};

  void begins(double sugar_g = 9.5) {
    world.does(start("blue"));
    world.run_for(20h);
    world.does(strain_into("blue", "bottle"));
    world.does(SecondBegun{"bottle", sugar_g});
    begun = world.now();
  }
  [[nodiscard]] JarState bottle() const { return world.state("bottle"); }
  [[nodiscard]] std::string refusal_of(const SecondBegun& fact) {
    const auto said = world.says(fact);
    return said ? "" : said.why();
  }
};

TEST_F(ASecondFerment, IsNeverOverFermentedAndEndsInTheFridge) {
  begins();
  for (int hour = 0; hour < 60; ++hour) {
    EXPECT_EQ(bottle().stage, Stage::second) << hour;
    world.run_for(1h);
  }
  world.does(store("bottle"));
  EXPECT_EQ(bottle().stage, Stage::fridge);
  world.does(take_out("bottle"));
  EXPECT_EQ(bottle().stage, Stage::strained);
}

// 10 g in a litre are 5.14 g of carbon dioxide by C12H22O11 + H2O -> 4 C2H5OH + 4 CO2.
TEST_F(ASecondFerment, IsAnnouncedWithWhatItsSugarCanCometoAndWithTheCaution) {
  begins();
  const Announcement& said = world.the("second-begun");
  EXPECT_THAT(said.caution.value_or(""), HasSubstr("made for pressure"));
  EXPECT_THAT(said.caution.value_or(""), HasSubstr("alcohol"));
  EXPECT_THAT(said.text, HasSubstr("every day"));
  const auto most = std::find_if(said.details.begin(), said.details.end(),
                                 [](const Detail& d) { return d.name == "pressure_kpa_most"; });
  ASSERT_NE(most, said.details.end());
  // 0.950 L of 5.143 g/L in a litre at 22 degC, by Henry and the ideal gas (Sander 2023).
  const double henry = 3.4e-4 * std::exp(2400.0 * (1.0 / 295.15 - 1.0 / 298.15));
  const double mol = 5.143 * 0.950 / 44.01;
  const double pa = mol / (henry * 950e-6 + 50e-6 / (8.314463 * 295.15));
  EXPECT_NEAR(std::get<double>(most->value), pa / 1000.0, 2.0);
}

TEST_F(ASecondFerment, PressesMoreThanPlainKefirAndNeverMoreThanItsSugarCan) {
  World plain;
  plain.does(start("blue"));
  plain.run_for(20h);
  plain.does(strain_into("blue", "bottle"));
  begins();
  // All of the gas of 9.5 g, in a litre bottle at 20 degC, by Henry and the ideal gas (Sander
  // 2023).
  const double henry = 3.4e-4 * std::exp(2400.0 * (1.0 / 293.15 - 1.0 / 298.15));
  const double most_kpa =
      5.143 * 0.950 / 44.01 / (henry * 950e-6 + 50e-6 / (8.314463 * 293.15)) / 1000.0;
  double before = 0.0;
  for (int day = 1; day <= 12; ++day) {
    world.run_for(24h);
    plain.run_for(24h);
    const double more = *bottle().pressure_kpa - *plain.state("bottle").pressure_kpa;
    EXPECT_GT(more, before) << day;
    EXPECT_LT(more, most_kpa) << day;
    before = more;
  }
  EXPECT_GT(before, 0.98 * most_kpa);
}

TEST_F(ASecondFerment, IsWarnedOfLongBeforeTheUsualKefirPressesAndEachDayAgain) {
  begins();
  world.run_for(24h * 3 + 12h);
  const auto kinds = world.told_of("jar-bottle");
  EXPECT_GE(std::count(kinds.begin(), kinds.end(), "vent-lid"), 3);
  const Instant first = world.the("vent-lid").time;
  EXPECT_LT(first, begun + 12h);
  EXPECT_THAT(world.the("vent-lid").caution.value_or(""), HasSubstr("made for pressure"));
  EXPECT_THAT(world.the("vent-lid").text, HasSubstr("every day"));

  World again;
  again.does(start("blue"));
  again.run_for(20h);
  again.does(strain_into("blue", "bottle"));
  again.does(SecondBegun{"bottle", 9.5});
  again.run_until(first);
  EXPECT_LT(*again.state("bottle").pressure_kpa, 100.0);
}

TEST_F(ASecondFerment, IsReadyWithinADayOrTwoInAUsualRoom) {
  begins();
  world.run_for(24h * 4);
  ASSERT_THAT(world.told_of("jar-bottle"), Contains("second-ready"));
  EXPECT_GT(world.the("second-ready").time, begun + 12h);
  EXPECT_LT(world.the("second-ready").time, begun + 48h);
  EXPECT_THAT(world.the("second-ready").text, HasSubstr("does not stop it"));
}

TEST_F(ASecondFerment, IsSlowedByTheFridgeAndNotStopped) {
  begins();
  world.run_for(3h);
  world.does(store("bottle"));
  world.run_for(24h);
  const double after_a_day = *bottle().pressure_kpa;
  world.run_for(24h * 10);
  EXPECT_GT(*bottle().pressure_kpa, after_a_day + 50.0);
}

TEST_F(ASecondFerment, SweetenedTwiceHasTheSugarOfBoth) {
  begins(4.0);
  world.does(SecondBegun{"bottle", 5.5});
  World once;
  once.does(start("blue"));
  once.run_for(20h);
  once.does(strain_into("blue", "bottle"));
  once.does(SecondBegun{"bottle", 9.5});
  world.run_for(30h);
  once.run_for(30h);
  EXPECT_NEAR(*bottle().pressure_kpa, *once.state("bottle").pressure_kpa, 1e-9);
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(ASecondFerment, ToldLateIsTheSameAsToldInTime) {
  const auto pressure = [](Milliseconds late) {
    World again;
    again.room("kitchen").drifts_to(24.0_degC, 2000min);
    again.does(start("blue"));
    again.run_for(20h);
    again.does(strain_into("blue", "bottle"));
    again.run_for(1h + 2min);
    const Instant then = again.now();
    again.run_for(late);
    again.does(SecondBegun{"bottle", 10.0}, then);
    again.run_until(then + 20h);
    EXPECT_EQ(again.all_bits(), again.all_bits_folded_again());
    return *again.state("bottle").pressure_kpa;
  };
  EXPECT_EQ(pressure(0min), pressure(50min));
}

TEST_F(ASecondFerment, IsRefusedWhereItCannotBeWithWhatWouldHelp) {
  EXPECT_THAT(refusal_of({"bottle", 10.0}), HasSubstr("strain a batch into it first"));
  world.does(start("blue"));
  EXPECT_THAT(refusal_of({"blue", 10.0}), HasSubstr("still has its grains"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  EXPECT_THAT(refusal_of({"bottle", 0.0}), HasSubstr("0.5 to"));
  EXPECT_THAT(refusal_of({"bottle", 500.0}), HasSubstr("0.5 to"));
  EXPECT_THAT(refusal_of({"bottle", nan}), HasSubstr("0.5 to"));
  world.does(store("bottle"));
  EXPECT_THAT(refusal_of({"bottle", 10.0}), HasSubstr("take it out first"));
  world.does(take_out("bottle"));
  EXPECT_EQ(refusal_of({"bottle", 10.0}), "");
  EXPECT_EQ(bottle().batch->lid, Lid::tight);
}

TEST_F(ASecondFerment, UnderALooseLidHasNoPressureButIsReadyAllTheSame) {
  world.does(start("blue"));
  world.run_for(20h);
  world.does(strain_into("blue", "bottle"));
  world.does(SecondBegun{"bottle", 10.0, Lid::loose});
  world.run_for(24h * 4);
  EXPECT_FALSE(bottle().pressure_kpa);
  EXPECT_THAT(world.told_of("jar-bottle"), Not(Contains("vent-lid")));
  EXPECT_THAT(world.told_of("jar-bottle"), Contains("second-ready"));
}

}  // namespace
}  // namespace wheymark::test
