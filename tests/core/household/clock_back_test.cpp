// The clock was a day ahead for some hours and has come back: is everything as if it had not been?
#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

// A bottle in the fridge, a closed jar in a kitchen that is too warm; entries are applied directly.
class AHome {
 public:
  AHome() {
    tells(morning, start("red"));
    tells(morning + 20h, strain_into("red", "bottle"));
    tells(morning + 20h, store("bottle"));
    tells(morning + 20h, start("blue"));
    tells(morning + 21h, LidPut{"blue", Lid::tight});
  }
  void tells(Instant at, Fact fact) {
    const auto accepted = household.decide({std::move(fact), at, {}}, at);
    ASSERT_TRUE(accepted.ok()) << accepted.why();
    household.apply(accepted.value().record);
  }
  // A reading every half hour everywhere.
  void lives(Instant from, Instant to, double kitchen_c, double fridge_c) {
    for (Instant at = from; at < to; at += 30min) {
      household.apply(ReadingTaken{"kitchen", at, Celsius(kitchen_c)});
      household.apply(ReadingTaken{"fridge", at, Celsius(fridge_c)});
    }
  }
  [[nodiscard]] const Batch& in(const JarId& jar) const { return *household.book().in_jar(jar); }

  Household household{small_setup(), default_parameters()};
};

constexpr auto leapt = 26h;

TEST(AClockThatComesBack, LeavesNoTraceInAgesLidsExcursionsAndForecasts) {
  AHome calm;
  calm.lives(morning, morning + leapt, 24.0, 5.0);
  AHome misled;
  misled.lives(morning, morning + leapt, 24.0, 5.0);
  misled.lives(morning + 50h, morning + 55h, 33.0, 15.0);
  const Instant now = morning + 32h;
  EXPECT_GT(misled.household.effective_age_h(misled.in("bottle"), morning + 55h), 35.0)
      << "the leap was believed while it lasted: by the calendar alone it would be 35 h old";
  for (AHome* home : {&calm, &misled}) home->lives(morning + leapt, now, 24.0, 5.0);

  AHome restarted;
  restarted.household.begin_restoring();
  restarted.lives(morning, morning + leapt, 24.0, 5.0);
  restarted.lives(morning + 50h, morning + 55h, 33.0, 15.0);
  restarted.lives(morning + leapt, now, 24.0, 5.0);
  restarted.household.end_restoring();

  for (const AHome* other : {&misled, &restarted}) {
    const Household& a = calm.household;
    const Household& b = other->household;
    EXPECT_EQ(a.effective_age_h(calm.in("bottle"), now),
              b.effective_age_h(other->in("bottle"), now));
    EXPECT_EQ(a.running(calm.in("bottle"))->ageing()->reaches_best_by(),
              b.running(other->in("bottle"))->ageing()->reaches_best_by());
    EXPECT_EQ(a.pressure_kpa(calm.in("blue"), now), b.pressure_kpa(other->in("blue"), now));
    EXPECT_TRUE(a.pressure_kpa(calm.in("blue"), now));
    for (const char* place : {"kitchen", "fridge"}) {
      EXPECT_EQ(a.places().air(place)->too_warm().since(),
                b.places().air(place)->too_warm().since())
          << place;
      EXPECT_EQ(a.places().air(place)->too_cold().since(),
                b.places().air(place)->too_cold().since())
          << place;
    }
    const auto opens_of = [](const Household& household, const Batch& batch) {
      return household.fermentation(batch)->forecast()->peak_opens;
    };
    EXPECT_EQ(opens_of(a, calm.in("blue")).p50, opens_of(b, other->in("blue")).p50);
    EXPECT_EQ(opens_of(a, calm.in("blue")).p90, opens_of(b, other->in("blue")).p90);
  }
}

// Evidence that was computed with the air of the wrong hours is computed again.
TEST(AClockThatComesBack, ACultureLearnsFromTheAirAsItWas) {
  AHome calm;
  AHome misled;
  for (AHome* home : {&calm, &misled}) {
    home->lives(morning, morning + leapt, 20.0, 4.0);
    home->tells(morning + leapt, SignSeen{"blue", Sign::thickened});
  }
  misled.lives(morning + 50h, morning + 55h, 33.0, 15.0);
  for (AHome* home : {&calm, &misled}) {
    home->lives(morning + leapt, morning + 36h, 20.0, 4.0);
    home->tells(morning + 36h, Strain{"blue", {{"flask"}}, Verdict::right, {}});
    home->lives(morning + 36h, morning + 40h, 20.0, 4.0);
  }
  for (const double share : {0.1, 0.5, 0.9}) {
    EXPECT_EQ(calm.household.paces().of("tilly").quantile(share),
              misled.household.paces().of("tilly").quantile(share));
  }
}

TEST(AClockThatComesBack, AThermometerThatFallsSilentThenIsNotGoodUntilTheFalseHour) {
  AHome home;
  home.lives(morning, morning + leapt, 21.0, 4.0);
  home.household.apply(ReadingTaken{"kitchen", morning + 24h * 365, Celsius(21.0)});
  home.household.hear("kitchen", morning + 24h * 365);
  home.household.clock_went_back(morning + leapt);
  const Thermometer& thermometer = home.household.places().thermometer("kitchen");
  EXPECT_EQ(thermometer.status(morning + leapt + 10min), ThermometerStatus::good);
  EXPECT_EQ(thermometer.status(morning + leapt + 3h), ThermometerStatus::silent);
  EXPECT_LT(*thermometer.silent_from(morning), morning + leapt + 24h);
}

}  // namespace
}  // namespace wheymark::test
