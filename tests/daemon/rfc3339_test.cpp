#include "plugin/daemon/rfc3339.hpp"

#include <gtest/gtest.h>

namespace wheymark {
namespace {

// The numbers of seconds are those of `date -u -d ... +%s` (GNU coreutils).
TEST(Rfc3339, AnInstantInUtcOrWithAnOffsetIsTheSameInstant) {
  EXPECT_EQ(instant_ms_from_rfc3339("1970-01-01T00:00:00Z"), 0);
  EXPECT_EQ(instant_ms_from_rfc3339("2027-03-01T08:00:00Z"), 1'803'888'000'000);
  EXPECT_EQ(instant_ms_from_rfc3339("2027-03-01T09:30:00+01:30"), 1'803'888'000'000);
  EXPECT_EQ(instant_ms_from_rfc3339("2027-03-01T00:00:00-08:00"), 1'803'888'000'000);
  EXPECT_EQ(instant_ms_from_rfc3339("2028-02-29T23:59:59Z"), 1'835'481'599'000);
}

TEST(Rfc3339, FractionsAreCutToMilliseconds) {
  EXPECT_EQ(instant_ms_from_rfc3339("1970-01-01T00:00:01.5Z"), 1'500);
  EXPECT_EQ(instant_ms_from_rfc3339("1970-01-01T00:00:01.005Z"), 1'005);
  EXPECT_EQ(instant_ms_from_rfc3339("1970-01-01T00:00:01.999999999Z"), 1'999);
}

TEST(Rfc3339, WhatIsNoInstantIsRefused) {
  for (const char* text :
       {"", "now", "2027-03-01", "2027-03-01T08:00:00", "2027-3-1T8:00:00Z", "2027-02-29T08:00:00Z",
        "2027-13-01T08:00:00Z", "2027-03-01T24:00:00Z", "2027-03-01T08:60:00Z",
        "2027-03-01T08:00:60Z", "2027-03-01T08:00:00.Z", "2027-03-01T08:00:00,5Z",
        "2027-03-01T08:00:00+1:00", "2027-03-01T08:00:00+24:00", "2027-03-01T08:00:00Z ",
        "2027-03-01 08:00:00Z", "1969-12-31T23:59:59Z", "+027-03-01T08:00:00Z"}) {
    EXPECT_EQ(instant_ms_from_rfc3339(text), std::nullopt) << text;
  }
}

TEST(Rfc3339, IsWrittenInUtcAndWithMillisecondsOnlyWhenThereAreAny) {
  EXPECT_EQ(rfc3339_from_instant_ms(1'803'888'000'000), "2027-03-01T08:00:00Z");
  EXPECT_EQ(rfc3339_from_instant_ms(1'803'888'000'050), "2027-03-01T08:00:00.050Z");
}

}  // namespace
}  // namespace wheymark
