// A batch across the night in which the clocks go forward or back: milk is not affected, people
// are.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/record/local_time.hpp"
#include "core/record/waking.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using std::chrono::year;
using ::testing::HasSubstr;

// The European Union's last Sundays of March and October 2027, 01:00 UTC.
constexpr Instant forward{std::chrono::sys_days{year{2027} / 3 / 28} + 1h};
constexpr Instant back{std::chrono::sys_days{year{2027} / 10 / 31} + 1h};

// Of Lisbon: UTC in winter.
HouseholdSetup with_summer_time() {
  HouseholdSetup setup = small_setup();
  setup.utc_offset = [](Instant at) { return at >= forward && at < back ? 60min : 0min; };
  return setup;
}

// A batch of 28 h, begun seven hours before the clocks change.
void lives_through_a_batch(World& world) {
  world.run_for(30min);
  world.does(start("blue"));
  world.run_for(28h);
  world.does(strain_into("blue", "bottle"));
  world.does(store("bottle"));
}

double number_in(const Announcement& told, const std::string& name) {
  for (const auto& detail : told.details) {
    if (detail.name == name) return std::get<double>(detail.value);
  }
  throw std::runtime_error("no " + name);
}

class AcrossTheChange : public ::testing::TestWithParam<Instant> {};

TEST_P(AcrossTheChange, ABatchTakesAsLongAsInAHomeWhoseClocksStandStill) {
  World home(with_summer_time(), GetParam() - 7h - 30min);
  World in_utc(small_setup(), GetParam() - 7h - 30min);
  lives_through_a_batch(home);
  lives_through_a_batch(in_utc);
  EXPECT_DOUBLE_EQ(number_in(home.the("strained"), "hours"), 28.0);
  for (const char* kind : {"peak-near", "peak-open", "strained", "stored"}) {
    EXPECT_EQ(home.the(kind).time, in_utc.the(kind).time) << kind;
  }
  EXPECT_EQ(home.all_bits(), in_utc.all_bits());
}

INSTANTIATE_TEST_SUITE_P(InSpringAndAutumn, AcrossTheChange, ::testing::Values(forward, back));

TEST(SummerTime, SentencesShowTheClockAsItThenIs) {
  World home(with_summer_time(), forward - 7h - 30min);
  lives_through_a_batch(home);
  // Begun at 18:00 winter time; stored at 22:00 UTC, which is 23:00 on a clock of summer.
  EXPECT_THAT(home.the("batch-started").text, HasSubstr(" at 18:00 (Kitchen)"));
  EXPECT_THAT(home.the("stored").text, HasSubstr("in the fridge since Sun 28 Mar 23:00"));
  EXPECT_EQ(clock_text(forward - 1min, home.household().setup()), "00:59");
  EXPECT_EQ(clock_text(forward, home.household().setup()), "02:00");
}

TEST(SummerTime, TheHouseholdGetsUpByItsOwnClockOnBothSides) {
  const HouseholdSetup setup = with_summer_time();  // awake from seven
  const auto awake_on = [&](Instant midnight, Milliseconds utc) {
    return awake_at(midnight + utc, setup);
  };
  const Instant day_before = forward - 25h;
  const Instant day_of_it = forward - 1h;
  EXPECT_FALSE(awake_on(day_before, 6h + 30min));
  EXPECT_TRUE(awake_on(day_before, 7h));
  EXPECT_FALSE(awake_on(day_of_it, 5h + 59min));
  EXPECT_TRUE(awake_on(day_of_it, 6h));
  EXPECT_TRUE(awake_on(back - 25h, 6h));
  EXPECT_FALSE(awake_on(back - 1h, 6h + 59min));
  EXPECT_TRUE(awake_on(back - 1h, 7h));
  // At night people seldom look: less than half of its hours count.
  EXPECT_LT(looked_h_between(day_of_it, day_of_it + 6h, setup), 6.0 * 0.5);
}

}  // namespace
}  // namespace wheymark::test
