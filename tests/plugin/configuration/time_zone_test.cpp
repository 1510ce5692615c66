// The household's clock against UTC.
#include "plugin/configuration/time_zone.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plugin/wire/instant_text.hpp"

namespace wheymark {
namespace {

using namespace std::chrono_literals;
using testing::HasSubstr;

std::chrono::minutes offset(const std::string& zone, std::string_view instant) {
  return utc_offset_in(zone).value()(instant_from_rfc3339(instant).value());
}

TEST(TimeZone, FollowsSummerTimeToTheSecond) {
  // European Union: from the last Sunday of March, 01:00 UTC, to that of October, 01:00 UTC.
  EXPECT_EQ(offset("Europe/Lisbon", "2027-03-28T00:59:59Z"), 0min);
  EXPECT_EQ(offset("Europe/Lisbon", "2027-03-28T01:00:00Z"), 60min);
  EXPECT_EQ(offset("Europe/Lisbon", "2027-10-31T00:59:59Z"), 60min);
  EXPECT_EQ(offset("Europe/Lisbon", "2027-10-31T01:00:00Z"), 0min);
}

TEST(TimeZone, KnowsOffsetsThatAreNoWholeHours) {
  EXPECT_EQ(offset("Asia/Kathmandu", "2027-01-01T00:00:00Z"), 345min);
  EXPECT_EQ(offset("America/St_Johns", "2027-01-01T00:00:00Z"), -210min);
}

TEST(TimeZone, UtcIsAlwaysZero) {
  EXPECT_EQ(offset("UTC", "2027-07-01T00:00:00Z"), 0min);
}

TEST(TimeZone, GivesAnOffsetForTheFirstAndTheLastYear) {
  const auto lisbon = utc_offset_in("Europe/Lisbon").value();
  for (const auto* instant : {"0000-01-01T00:00:00Z", "1900-01-01T00:00:00Z",
                              "2099-12-31T23:59:59Z", "9999-12-31T23:59:59Z"}) {
    EXPECT_LE(std::chrono::abs(lisbon(instant_from_rfc3339(instant).value())), 24h) << instant;
  }
}

TEST(TimeZone, NamesTheZoneThatWasProbablyMeant) {
  EXPECT_THAT(utc_offset_in("Europe/Lisbom").why(), HasSubstr("did you mean \"Europe/Lisbon\"?"));
  EXPECT_THAT(utc_offset_in("Mars/Olympus").why(), HasSubstr("IANA"));
}

}  // namespace
}  // namespace wheymark
