// RFC 3339 and Unix times, in and out.
#include "plugin/wire/instant_text.hpp"

#include <cstdint>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <limits>
#include <nlohmann/json.hpp>

#include "core/basis/limits.hpp"
#include "plugin/daemon/rfc3339.hpp"

namespace wheymark {
namespace {

using nlohmann::json;
using testing::HasSubstr;

Instant at_ms(std::int64_t unix_ms) {
  return Instant(Milliseconds(unix_ms));
}

TEST(InstantText, ReadsTheInstantsThatRfc3339GivesAsExamples) {
  // RFC 3339, section 5.8; the Unix times by date(1).
  EXPECT_EQ(instant_from_rfc3339("1985-04-12T23:20:50.52Z").value(), at_ms(482196050520));
  EXPECT_EQ(instant_from_rfc3339("1996-12-19T16:39:57-08:00").value(), at_ms(851042397000));
  EXPECT_EQ(instant_from_rfc3339("1937-01-01T12:00:27.87+00:20").value(), at_ms(-1041337172130));
}

TEST(InstantText, TakesSmallLettersOffsetsAndFractionsDownToTheMillisecond) {
  const Instant plain = instant_from_rfc3339("2027-03-01T08:10:00Z").value();
  EXPECT_EQ(plain, at_ms(1803888600000));  // date -u -d 2027-03-01T08:10:00Z +%s

  for (const auto* same :
       {"2027-03-01t08:10:00z", "2027-03-01T08:10:00.000Z", "2027-03-01T09:10:00+01:00",
        "2027-03-01T00:25:00-07:45", "2027-03-01T08:10:00-00:00", "2027-03-02T08:09:00+23:59",
        "2027-03-01T08:10:00.0009999999999999999999Z"}) {
    const auto read = instant_from_rfc3339(same);
    ASSERT_TRUE(read.ok()) << same << ": " << read.why();
    EXPECT_EQ(read.value(), plain) << same;
  }
  EXPECT_EQ(instant_from_rfc3339("2027-03-01T08:10:00.5Z").value(), plain + Milliseconds(500));
  EXPECT_EQ(instant_from_rfc3339("2027-03-01T08:10:00.05Z").value(), plain + Milliseconds(50));
  EXPECT_EQ(instant_from_rfc3339("2027-03-01T08:10:00.1239Z").value(), plain + Milliseconds(123));
}

TEST(InstantText, RefusesWhatIsNotRfc3339InFull) {
  for (const std::string text : {"",
                                 "2027",
                                 "2027-03-01",
                                 "2027-03-01T08:10Z",
                                 "2027-03-01 08:10:00Z",
                                 "2027-03-01T8:10:00Z",
                                 "2027-3-1T08:10:00Z",
                                 "20270301T081000Z",
                                 "2027-03-01T08:10:00.Z",
                                 "2027-03-01T08:10:00,5Z",
                                 "2027-03-01T08:10:00ZZ",
                                 "2027-03-01T08:10:00Z ",
                                 " 2027-03-01T08:10:00Z",
                                 "2027-03-01T08:10:00+0100",
                                 "2027-03-01T08:10:00+01",
                                 "2027-03-01T08:10:00+24:00",
                                 "2027-03-01T08:10:00+01:60",
                                 "2027-03-01T08:10:00 Z",
                                 "+2027-03-01T08:10:00Z",
                                 "-027-03-01T08:10:00Z",
                                 "12027-03-01T08:10:00Z",
                                 "2027-W09-1T08:10:00Z",
                                 "yesterday",
                                 "2027-03-01T08:10:00\xff",
                                 "1803888600"}) {
    const auto read = instant_from_rfc3339(text);
    ASSERT_FALSE(read.ok()) << text;
    EXPECT_THAT(read.why(), HasSubstr("RFC 3339")) << text;
  }
}

TEST(InstantText, AsksForTheZoneWhenOnlyThatIsMissing) {
  EXPECT_THAT(instant_from_rfc3339("2027-03-01T08:10:00").why(), HasSubstr("zone"));
  EXPECT_THAT(instant_from_rfc3339("2027-03-01T08:10:00.25").why(), HasSubstr("zone"));
}

TEST(InstantText, RefusesDaysAndTimesThatDoNotExist) {
  for (const auto* text : {"2027-02-29T08:10:00Z", "2100-02-29T00:00:00Z", "2027-04-31T08:10:00Z",
                           "2027-00-10T08:10:00Z", "2027-13-10T08:10:00Z", "2027-03-00T08:10:00Z",
                           "2027-03-32T08:10:00Z", "2027-03-01T24:00:00Z", "2027-03-01T08:60:00Z",
                           "2027-03-01T08:10:61Z"}) {
    const auto read = instant_from_rfc3339(text);
    ASSERT_FALSE(read.ok()) << text;
    EXPECT_THAT(read.why(), HasSubstr("that exist")) << text;
  }
  EXPECT_TRUE(instant_from_rfc3339("2028-02-29T08:10:00Z").ok());
  EXPECT_TRUE(instant_from_rfc3339("2000-02-29T08:10:00Z").ok());
}

TEST(InstantText, RefusesALeapSecondWithItsReason) {
  // RFC 3339, section 5.8, gives this one.
  EXPECT_THAT(instant_from_rfc3339("1990-12-31T23:59:60Z").why(), HasSubstr("leap second"));
}

TEST(InstantText, RefusesWhatTheZoneMovesOutOfTheYearsThatTheFormatCanSay) {
  EXPECT_FALSE(instant_from_rfc3339("0000-01-01T00:00:00+00:01").ok());
  EXPECT_FALSE(instant_from_rfc3339("9999-12-31T23:59:59-00:01").ok());
  EXPECT_TRUE(instant_from_rfc3339("9999-12-31T23:59:59.999Z").ok());
  EXPECT_TRUE(instant_from_rfc3339("0000-01-01T00:00:00Z").ok());
}

TEST(InstantText, WritesMillisecondsOnlyWhenThereAreSome) {
  EXPECT_EQ(rfc3339(at_ms(1803888600000)), "2027-03-01T08:10:00Z");
  EXPECT_EQ(rfc3339(at_ms(1803888600007)), "2027-03-01T08:10:00.007Z");
  EXPECT_EQ(rfc3339(at_ms(1803888600500)), "2027-03-01T08:10:00.500Z");
  EXPECT_EQ(rfc3339(at_ms(-1)), "1969-12-31T23:59:59.999Z");
}

TEST(InstantText, WritesNothingOutsideTheYearsThatTheFormatCanSay) {
  EXPECT_EQ(rfc3339(at_ms(std::numeric_limits<std::int64_t>::max())), "");
  EXPECT_EQ(rfc3339(at_ms(std::numeric_limits<std::int64_t>::min())), "");
}

TEST(InstantText, ReadsBackWhatItWrites) {
  for (const std::int64_t ms : {-62167219200000LL, -1LL, 0LL, 951782399999LL, 1803888600123LL,
                                4102444800000LL, 253402300799999LL}) {
    EXPECT_EQ(instant_from_rfc3339(rfc3339(at_ms(ms))).value(), at_ms(ms)) << rfc3339(at_ms(ms));
  }
}

// The daemon knows the library by its C header alone and has a text form of its own.
TEST(InstantText, IsWrittenByTheDaemonAsByTheLibrary) {
  // From 1970 to the last week of 9999, so that every month, leap day and hour comes.
  const std::int64_t step_ms = 7 * 86'400'000LL + 13'277'123;
  for (std::int64_t ms = 0; ms < 253402300799999LL; ms += step_ms) {
    ASSERT_EQ(rfc3339_from_instant_ms(ms), rfc3339(at_ms(ms))) << ms;
    ASSERT_EQ(rfc3339_from_instant_ms(ms - ms % 1000), rfc3339(at_ms(ms - ms % 1000))) << ms;
  }
}

TEST(InstantText, WhatTheDaemonReadsTheLibraryReadsAsTheSame) {
  int read_by_both = 0;
  for (const std::string text : {"2027-03-01T08:10:00Z", "2028-02-29T23:59:59.5+23:59",
                                 "1999-12-31T00:00:00.123456789-00:45"}) {
    for (std::size_t i = 0; i < text.size(); ++i) {
      for (const char other : {'0', '1', '2', '3', '5', '6', '9', '-', '+', ':', '.', 'T', 'Z'}) {
        std::string changed = text;
        changed[i] = other;
        const auto by_daemon = instant_ms_from_rfc3339(changed);
        const auto by_library = instant_from_rfc3339(changed);
        if (by_daemon) {
          ASSERT_TRUE(by_library.ok()) << changed << ": " << by_library.why();
          EXPECT_EQ(by_library.value(), at_ms(*by_daemon)) << changed;
          ++read_by_both;
        } else if (by_library.ok()) {
          EXPECT_LT(by_library.value(), at_ms(0)) << changed << ": the daemon begins at 1970";
        }
      }
    }
  }
  EXPECT_GT(read_by_both, 300);
}

TEST(InstantText, TellsUnixSecondsAndMillisecondsApartBySize) {
  const Instant same = at_ms(1803888600000);
  for (const auto& value :
       {json(1803888600), json(1803888600000), json(1803888600.0), json("1803888600"),
        json(" 1803888600000\n"), json("2027-03-01T08:10:00Z"), json("1803888600.0")}) {
    const auto read = instant_from_value(value);
    ASSERT_TRUE(read.ok()) << value << ": " << read.why();
    EXPECT_EQ(read.value(), same) << value;
  }
  EXPECT_EQ(instant_from_value(json(1803888600.25)).value(), same + Milliseconds(250));
}

TEST(InstantText, RefusesInstantsFromAClockThatWasNeverSet) {
  for (const auto& value :
       {json(0), json(86400), json(-1803888600), json(1e300), json("1970-01-01T00:00:12Z"),
        json(1703980799), json(4102444800), json(1803888600000000), json("0"), json(true),
        json(nullptr), json::array(), json::object(), json(std::uint64_t{18446744073709551615U})}) {
    const auto read = instant_from_value(value);
    ASSERT_FALSE(read.ok()) << value;
    EXPECT_THAT(read.why(), HasSubstr("2024-01-01T00:00:00Z to 2100-01-01T00:00:00Z")) << value;
  }
  EXPECT_THAT(instant_from_value(json("noon")).why(), HasSubstr("RFC 3339"));
}

}  // namespace
}  // namespace wheymark
