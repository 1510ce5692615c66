// Nights, and the chance that a peak is open while somebody is there.
#include "core/forecast/in_time.hpp"

#include <gtest/gtest.h>

#include "core/record/waking.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using std::chrono::minutes;

TEST(Nights, LieBetweenGoingToBedAndGettingUp) {
  const HouseholdSetup setup;
  const auto nights =
      nights_between(midnight + std::chrono::hours{12}, midnight + std::chrono::hours{47}, setup);
  ASSERT_EQ(nights.size(), 2u);
  EXPECT_EQ(nights[0].from, midnight + std::chrono::hours{22} + minutes{30});
  EXPECT_EQ(nights[0].until, midnight + std::chrono::hours{31});
  EXPECT_EQ(when_awake(midnight + std::chrono::hours{3}, setup), midnight + std::chrono::hours{7});
  EXPECT_EQ(when_awake(midnight + std::chrono::hours{12}, setup),
            midnight + std::chrono::hours{12});
}

TEST(Nights, MayBeginPastMidnight) {
  HouseholdSetup setup;
  setup.waking = {std::chrono::hours{9}, std::chrono::hours{1}};
  setup.utc_offset = [](Instant) { return minutes{60}; };
  const auto nights = nights_between(midnight, midnight + std::chrono::hours{24}, setup);
  ASSERT_EQ(nights.size(), 1u);  // awake until 01:00, which is midnight in UTC
  EXPECT_EQ(nights[0].from, midnight);
  EXPECT_EQ(nights[0].until, midnight + std::chrono::hours{8});
}

// A steady room and a pace known to a percent: the peak opens and closes when it must.
class ACertainPeak : public testing::Test {
 protected:
  Parameters parameters;
  RateTable rates{parameters};
  AirAhead air = AirAhead::steady({midnight, Celsius(25.0)}, 0.0);
  // At the reference temperature the clock shows hours: open from 10 h to 14 h.
  ClockAhead clock{Condition{midnight, Celsius(25.0), 0.0, 0.0}, air, 2.0, rates, 60.0};
  PaceBelief pace = PaceBelief::prior(1.0, 0.005);
  PeakToCome peak{{2.0, 5.0, 10.0, 14.0}, pace.over_paces(), {pace.over_paces()}};

  [[nodiscard]] double chance(std::vector<Attended> attended) const {
    return chance_in_time(peak, clock, attended);
  }
  static Attended there(int from_h, int until_h) {
    return {midnight + std::chrono::hours{from_h}, midnight + std::chrono::hours{until_h}};
  }
};

TEST_F(ACertainPeak, IsInTimeWhenSomebodyIsThereWhileItIsOpen) {
  EXPECT_NEAR(chance({there(0, 8)}), 0.0, 0.01);                 // too early
  EXPECT_NEAR(chance({there(0, 12)}), 1.0, 0.01);                // opens before they go
  EXPECT_NEAR(chance({there(11, 12)}), 1.0, 0.01);               // in the middle
  EXPECT_NEAR(chance({there(13, 20)}), 1.0, 0.01);               // closes after they come
  EXPECT_NEAR(chance({there(16, 20)}), 0.0, 0.01);               // too late
  EXPECT_NEAR(chance({there(0, 8), there(16, 20)}), 0.0, 0.01);  // opens and closes between
  EXPECT_NEAR(chance({there(0, 8), there(12, 20)}), 1.0, 0.01);
  EXPECT_NEAR(chance({there(0, 2), there(4, 8), there(9, 11)}), 1.0, 0.01);
}

// Opens at 10 h; closes at 10.5 h in one case of two, else at 14 h.
TEST_F(ACertainPeak, ThatMayBeShortIsMissedAsOftenAsItIsShort) {
  const auto halved = [](pace_grid::OverPaces paces) {
    for (double& share : paces) share *= 0.5;
    return paces;
  };
  const PaceBelief as_if_faster = PaceBelief::prior(14.0 / 10.5, 0.005);
  peak.closing_paces = {halved(as_if_faster.over_paces()), halved(pace.over_paces())};
  EXPECT_NEAR(chance({there(0, 8), there(12, 20)}), 0.5, 0.01);
  EXPECT_NEAR(chance({there(0, 8), there(16, 20)}), 0.0, 0.01);
  EXPECT_NEAR(chance({there(0, 12), there(16, 20)}), 1.0, 0.01);
}

TEST_F(ACertainPeak, ADelayedStartOfTheSameAirIsTheSamePeakLater) {
  const StayAhead stay{midnight, air, 2.0};
  const ClockAhead later(Condition{midnight + std::chrono::hours{5}, Celsius(25.0), 0.0, 0.0},
                         std::span(&stay, 1), rates, 60.0);
  ASSERT_EQ(later.points().size(), clock.points().size());
  for (std::size_t i = 0; i < clock.points().size(); i += 50) {
    EXPECT_NEAR(later.points()[i].clock_h, clock.points()[i].clock_h, 1e-9);
  }
}

// Analytic: a lump of tau 2 h goes from 25 to 4 degC, where the clock stands still, and back.
TEST_F(ACertainPeak, AStayInTheFridgeDelaysByAboutItsLength) {
  const AirAhead cold = AirAhead::steady({midnight, Celsius(2.0)}, 0.0);
  const std::vector<StayAhead> stays{{midnight, air, 0.01},
                                     {midnight + std::chrono::hours{5}, cold, 0.01},
                                     {midnight + std::chrono::hours{13}, air, 0.01}};
  const ClockAhead moved(Condition{midnight, Celsius(25.0), 0.0, 0.0}, stays, rates, 60.0);
  // Without a lag of the milk, eight hours in the cold are eight hours lost, to a step or two.
  const auto opened = Chances(moved, pace.over_paces(), 10.0).instant_of(0.5);
  ASSERT_TRUE(opened.has_value());
  EXPECT_NEAR(hours_between(midnight, *opened), 18.0, 0.25);
}

}  // namespace
}  // namespace wheymark
