// A culture's pace that has changed is told from weather, noise and one odd batch.
#include "core/pace/culture_health.hpp"

#include <cmath>
#include <gtest/gtest.h>

#include "tests/core/given.hpp"
#include "tests/core/pace/bell.hpp"

namespace wheymark {
namespace {

// Batches of one culture, a day apart; each shows its pace to within 4 %.
class Health : public testing::Test {
 protected:
  // Rooms of 21 degC; the rates by which warmer and colder ones differ are those of the clock.
  static double log_warmth(double celsius) { return std::log(acid_rate(Celsius(celsius), p)); }

  void a_batch(double log_pace, double celsius = 21.0) {
    ++batch_;
    const Instant at = morning + std::chrono::hours{24} * batch_;
    health.learn(batch_, at, bell(log_pace, 0.04), log_warmth(celsius), culture);
  }
  // Batches that scatter evenly, as grains do, by 5 %.
  void batches(int count, double log_pace, double celsius = 21.0) {
    for (int i = 0; i < count; ++i) a_batch(log_pace + 0.05 * (i % 3 - 1), celsius);
  }

  CulturePace culture{p};
  CultureHealth health;

 private:
  std::uint64_t batch_ = 0;
};

TEST_F(Health, ThatHasLostAThirdIsToldOnceAsSlower) {
  batches(12, 0.0);
  EXPECT_TRUE(health.changes().empty());
  batches(12, std::log(0.70));
  ASSERT_EQ(health.changes().size(), 1U);
  // What was put in, less what no single batch is believed beyond.
  EXPECT_NEAR(std::log(health.changes().front().factor), std::log(0.70), 0.10);
}

// Grains that answer to warmth more than the reference look slower in the cold: here by 4 % a
// kelvin, where the reference itself changes by some 11 %.
TEST_F(Health, OfGrainsThatOnlyAnswerOtherwiseToWarmthIsNotToldOfAsChanged) {
  const auto week_at = [this](double celsius) { batches(7, 0.04 * (celsius - 21.0), celsius); };
  for (int i = 0; i < 3; ++i) week_at(21.0);
  for (int i = 0; i < 4; ++i) {
    week_at(17.0);
    week_at(25.0);
  }
  EXPECT_TRUE(health.changes().empty());
}

TEST_F(Health, ThatHasChangedIsToldThoughTheWeatherChangesToo) {
  batches(7, 0.0, 21.0);
  for (int i = 0; i < 3; ++i) {
    batches(7, -0.16, 17.0);
    batches(7, 0.16, 25.0);
  }
  EXPECT_TRUE(health.changes().empty());
  batches(7, -0.16 - 0.36, 17.0);
  batches(7, 0.16 - 0.36, 25.0);
  ASSERT_EQ(health.changes().size(), 1U);
  EXPECT_LT(health.changes().front().factor, 0.85);
}

TEST_F(Health, WithTwoWildReportsIsNotToldOfAsChanged) {
  batches(12, 0.0);
  a_batch(1.4);
  batches(2, 0.0);
  a_batch(1.2);
  batches(12, 0.0);
  EXPECT_TRUE(health.changes().empty());
}

}  // namespace
}  // namespace wheymark
