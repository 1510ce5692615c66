// Several thermometers: in one place, and on one topic by mistake.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <vector>

#include "core/air/agreement.hpp"
#include "core/air/two_in_one.hpp"
#include "tests/core/given.hpp"

namespace wheymark::test {
namespace {

using namespace std::chrono_literals;
using ::testing::ElementsAre;

Agreement of(const std::vector<double>& airs_c, std::optional<double> before_c = {}) {
  std::vector<Celsius> airs;
  for (const double air_c : airs_c) airs.emplace_back(air_c);
  return agreement_of(airs, before_c ? std::optional(Celsius(*before_c)) : std::nullopt);
}

TEST(AnAgreement, OfOneIsThatOne) {
  EXPECT_EQ(of({21.5}, 4.0).air.degrees(), 21.5);
}

TEST(AnAgreement, OfThoseThatAgreeIsTheirMean) {
  EXPECT_DOUBLE_EQ(of({21.0, 22.0}).air.degrees(), 21.5);
  EXPECT_DOUBLE_EQ(of({20.0, 21.0, 22.0}).air.degrees(), 21.0);
  EXPECT_EQ(of({21.0, 22.0}).doubt_k, 0.0);
}

TEST(AnAgreement, LeavesOutTheOneOfThreeThatIsWrong) {
  const Agreement agreement = of({20.0, 35.0, 21.0});
  EXPECT_DOUBLE_EQ(agreement.air.degrees(), 20.5);
  EXPECT_THAT(agreement.apart, ElementsAre(1));
}

TEST(AnAgreement, OfTwoThatDifferIsTheOneNearerToWhatThePlaceWas) {
  EXPECT_EQ(of({20.0, 35.0}, 21.0).air.degrees(), 20.0);
  EXPECT_THAT(of({20.0, 35.0}, 21.0).apart, ElementsAre(1));
  EXPECT_EQ(of({20.0, 35.0}, 33.0).air.degrees(), 35.0);
}

TEST(AnAgreement, OfTwoThatDifferByLessIsDoubtedByHalfOfThat) {
  EXPECT_DOUBLE_EQ(of({20.0, 24.0}).air.degrees(), 22.0);
  EXPECT_DOUBLE_EQ(of({20.0, 24.0}).doubt_k, 2.0);
}

class OneTopic : public ::testing::Test {
 protected:
  void says(double air_c, std::chrono::minutes after) { topic.read(now += after, Celsius(air_c)); }
  Instant now = morning;
  TwoInOne topic;
};

TEST_F(OneTopic, WithTwoThermometersInTurnIsNoticed) {
  for (int i = 0; i < 10; ++i) {
    says(21.0 + 0.1 * i, 4min);
    says(17.0, 1min);
  }
  ASSERT_TRUE(topic.groups());
  EXPECT_NEAR(topic.groups()->low.degrees(), 17.0, 0.01);
  EXPECT_NEAR(topic.groups()->high.degrees(), 21.45, 0.3);
}

TEST_F(OneTopic, OfACompressorThatComesAndGoesIsOneThermometer) {
  for (int i = 0; i < 200; ++i) {
    says(i / 5 % 2 == 0 ? 2.5 : 6.5, 4min);
    EXPECT_FALSE(topic.groups());
  }
}

TEST_F(OneTopic, OfADoorThatWasOpenAndOfASunnyNoonIsOneThermometer) {
  for (int i = 0; i < 200; ++i) {
    says(i % 40 == 0 ? 28.0 : 20.0 + (i % 100 < 10 ? 6.0 : 0.0), 5min);
    EXPECT_FALSE(topic.groups());
  }
}

TEST_F(OneTopic, IsOnesAgainWhenTheOtherHasGone) {
  for (int i = 0; i < 10; ++i) {
    says(21.0, 4min);
    says(4.0, 1min);
  }
  ASSERT_TRUE(topic.groups());
  for (int i = 0; i < 24; ++i) says(21.0, 5min);
  EXPECT_FALSE(topic.groups());
}

}  // namespace
}  // namespace wheymark::test
