// Instants as devices write them. The home is two hours ahead of UTC.
#include "plugin/wire/device_instant.hpp"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "plugin/wire/instant_text.hpp"

namespace wheymark {
namespace {

Result<DeviceInstant> read(const nlohmann::json& value) {
  return device_instant_from(value, [](Instant) { return std::chrono::minutes{120}; });
}

// ISO 8601-1:2019, 5.4: the same instant in the forms that it allows for a date and time of day.
TEST(DeviceInstant, EveryFormOfAnOffsetAndOfTheBasicFormIsTheSameInstant) {
  const Instant then = instant_from_rfc3339("2027-03-01T08:10:00Z").value();
  for (const char* text :
       {"2027-03-01T08:10:00Z", "2027-03-01t08:10:00z", "2027-03-01T08:10:00+00:00",
        "2027-03-01T08:10:00-00:00", "2027-03-01T08:10:00+0000", "2027-03-01T08:10:00+00",
        "2027-03-01T10:10:00+02:00", "2027-03-01T10:10:00+0200", "2027-03-01T10:10:00+02",
        "2027-03-01T02:40:00-0530", "2027-03-01 08:10:00Z", "2027-03-01 08:10:00 +0000",
        "2027-03-01 08:10:00 UTC", "2027-03-01T08:10Z", "20270301T081000Z", "20270301T0810Z",
        "20270301T101000+0200", "2027-03-01T08:10:00,000Z", " 2027-03-01T08:10:00Z "}) {
    const auto instant = read(text);
    ASSERT_TRUE(instant.ok()) << text << ": " << instant.why();
    EXPECT_EQ(instant.value().at, then) << text;
    EXPECT_FALSE(instant.value().is_local) << text;
  }
}

TEST(DeviceInstant, WithoutAZoneItIsTheHomes) {
  for (const char* text : {"2027-03-01T10:10:00", "2027-03-01 10:10", "20270301T101000"}) {
    const auto instant = read(text);
    ASSERT_TRUE(instant.ok()) << text << ": " << instant.why();
    EXPECT_EQ(instant.value().at, instant_from_rfc3339("2027-03-01T08:10:00Z").value()) << text;
    EXPECT_TRUE(instant.value().is_local) << text;
  }
}

TEST(DeviceInstant, OtherFormsAndInstantsOutOfReasonAreRefused) {
  for (const char* text :
       {"", "noon", "2027-03-01", "08:10", "2027-13-01T08:10:00Z", "2027-03-01T25:10:00Z",
        "2027-03-01T08:10:00+2", "2027-03-01T08:10:00+02:0", "2027-03-01T08:10:00Zulu",
        "2027-0301T08:10:00Z", "2027-03-01T08:10:00.Z", "1970-01-01T00:00:10",
        "0000-01-01 00:00"}) {
    EXPECT_FALSE(read(text).ok()) << text;
  }
  EXPECT_FALSE(read(nullptr).ok());
  EXPECT_FALSE(read(12).ok());
}

}  // namespace
}  // namespace wheymark
