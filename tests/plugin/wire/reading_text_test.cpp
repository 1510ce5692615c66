// A thermometer's message becomes a temperature, or a sentence that says why not.
#include "plugin/wire/reading_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "core/basis/limits.hpp"
#include "plugin/wire/instant_text.hpp"

namespace wheymark {
namespace {

using testing::AllOf;
using testing::HasSubstr;

ThermometerSetup plain(TemperatureUnit unit = TemperatureUnit::celsius) {
  ThermometerSetup thermometer;
  thermometer.topic = "house/larder";
  thermometer.unit = unit;
  return thermometer;
}

ThermometerSetup within(std::string pointer) {
  ThermometerSetup thermometer = plain();
  thermometer.pointer = std::move(pointer);
  return thermometer;
}

ThermometerSetup with_instant() {
  ThermometerSetup thermometer = within("/t");
  thermometer.instant_pointer = "/at";
  return thermometer;
}

double degrees(std::string_view payload, const ThermometerSetup& thermometer) {
  const auto read = reading_from(payload, thermometer);
  EXPECT_TRUE(read.ok()) << (read.ok() ? "" : read.why());
  return read.ok() ? read.value().temperature.degrees() : -999.0;
}

std::string why(std::string_view payload, const ThermometerSetup& thermometer) {
  const auto read = reading_from(payload, thermometer);
  return read.ok() ? "accepted" : read.why();
}

TEST(ReadingText, WithoutAPointerThePayloadIsTheNumber) {
  EXPECT_EQ(degrees("21.4", plain()), 21.4);
  EXPECT_EQ(degrees(" -3\n", plain()), -3.0);
  EXPECT_FALSE(reading_from("21.4", plain()).value().at.has_value());
}

TEST(ReadingText, APointerLeadsToTheNumberHoweverDeepItStands) {
  EXPECT_EQ(degrees(R"({"t":21.4})", within("/t")), 21.4);
  EXPECT_EQ(degrees(R"({"a":[{"b/c":7},{"b/c":8.5}]})", within("/a/1/b~1c")), 8.5);
  EXPECT_EQ(degrees("21", within("")), 21.0);
  EXPECT_EQ(degrees(R"({"t":"21.4"})", within("/t")), 21.4);
  EXPECT_EQ(degrees(R"({"":3})", within("/")), 3.0);
}

// RFC 6901, section 5, which has these numbers; and section 4: ~01 is ~1, not a slash.
TEST(ReadingText, APointerIsReadAsTheStandardsExamplesAre) {
  const std::string document = R"({"foo":["bar",9],"":0,"a/b":1,"c%d":2,"e^f":3,"g|h":4,)"
                               R"("i\\j":5,"k\"l":6," ":7,"m~n":8,"~1":10})";
  const std::vector<std::pair<std::string, double>> examples{
      {"/", 0},     {"/a~1b", 1}, {"/c%d", 2},  {"/e^f", 3},   {"/g|h", 4}, {"/i\\j", 5},
      {"/k\"l", 6}, {"/ ", 7},    {"/m~0n", 8}, {"/foo/1", 9}, {"/~01", 10}};
  for (const auto& [pointer, number] : examples) {
    EXPECT_EQ(degrees(document, within(pointer)), number) << pointer;
  }
  EXPECT_EQ(degrees("21.5", within("")), 21.5);
}

TEST(ReadingText, FahrenheitAndKelvinBecomeCelsiusAtTheFixedPointsOfTheScales) {
  // Water freezes and boils at 32 and 212 degF; -40 is the same in both; 0 degC is 273.15 K.
  EXPECT_DOUBLE_EQ(degrees("32", plain(TemperatureUnit::fahrenheit)), 0.0);
  EXPECT_DOUBLE_EQ(degrees("212", plain(TemperatureUnit::fahrenheit)), 100.0);
  EXPECT_DOUBLE_EQ(degrees("-40", plain(TemperatureUnit::fahrenheit)), -40.0);
  EXPECT_DOUBLE_EQ(degrees("273.15", plain(TemperatureUnit::kelvin)), 0.0);
}

TEST(ReadingText, TheOffsetIsInKelvinWhateverTheUnit) {
  ThermometerSetup thermometer = plain(TemperatureUnit::fahrenheit);
  thermometer.offset_k = -0.5;

  EXPECT_DOUBLE_EQ(degrees("212", thermometer), 99.5);
}

TEST(ReadingText, AnInstantPointerGivesTheReadingItsAge) {
  const Instant then = instant_from_rfc3339("2027-03-01T08:10:00Z").value();

  for (const auto* payload :
       {R"({"t":21.4,"at":"2027-03-01T08:10:00Z"})",
        R"({"t":21.4,"at":"2027-03-01T09:10:00+01:00"})", R"({"t":21.4,"at":1803888600})",
        R"({"t":21.4,"at":1803888600000})"}) {
    const auto read = reading_from(payload, with_instant());
    ASSERT_TRUE(read.ok()) << payload;
    EXPECT_EQ(read.value().at, then) << payload;
  }
}

TEST(ReadingText, DoesNotJudgeWhetherATemperatureIsPlausible) {
  EXPECT_EQ(degrees("85", plain()), 85.0);
  EXPECT_EQ(degrees("-127", plain()), -127.0);
}

TEST(ReadingText, WrongPayloadsAreRefusedWithTheirTopicAndTheReason) {
  struct Wrong {
    const char* payload;
    ThermometerSetup thermometer;
    const char* reason;
  };
  const Wrong table[] = {
      {"", plain(), "empty text"},
      {"unavailable", plain(), "found \"unavailable\"; allowed: one number"},
      {"nan", plain(), "found \"nan\""},
      {"21.4 C", plain(), "found \"21.4 C\""},
      {"{\"t\":21}", plain(), "allowed: one number"},
      {"true", plain(), "found \"true\""},
      {"", within("/t"), "text is empty"},
      {"21.4", within("/t"), "at /t: found nothing there in 21.4; allowed: a number"},
      {"not json", within("/t"), "not JSON at line 1, column 2"},
      {R"({"t":NaN})", within("/t"), "not JSON at line 1"},
      {R"({"t":1e999})", within("/t"), "too large"},
      {R"({"t":21,"t":22})", within("/t"), "stands twice"},
      {R"({"T":21})", within("/t"), "at /t: found nothing there in an object"},
      {R"({"t":true})", within("/t"), "at /t: found true; allowed: a number"},
      {R"({"t":null})", within("/t"), "at /t: found null"},
      {R"({"t":{"v":1}})", within("/t"), "at /t: found an object"},
      {R"({"t":[1]})", within("/t"), "at /t: found an array"},
      {R"({"t":"warm"})", within("/t"), "at /t: found \"warm\""},
      {R"({"t":""})", within("/t"), "at /t: found an empty text"},
      {R"({"t":"inf"})", within("/t"), "at /t: found \"inf\""},
      {R"({"t":[1]})", within("/t/1"), "at /t/1: found nothing"},
      {R"({"t":[1]})", within("/t/-"), "at /t/-: found nothing"},
      {R"({"t":[1]})", within("/t/00"), "at /t/00: found nothing"},
      {R"({"t":[1]})", within("/t/"), "at /t/: found nothing"},
      {R"({"t":[1]})", within("/t/x"), "at /t/x: found nothing"},
      {R"({"t":[1]})", within("/t/99999999999999999999999"), "found nothing"},
      {R"({"t":21})", with_instant(), "at /at: found nothing there; allowed: the instant"},
      {R"({"t":21,"at":"noon"})", with_instant(), "at /at: found \"noon\""},
      {R"({"t":21,"at":null})", with_instant(), "at /at: found null"},
      {R"({"t":21,"at":12})", with_instant(), "at /at: found 12"},
  };
  for (const auto& wrong : table) {
    EXPECT_THAT(why(wrong.payload, wrong.thermometer),
                AllOf(HasSubstr("house/larder"), HasSubstr(wrong.reason)))
        << wrong.payload;
  }
}

TEST(ReadingText, RefusesPayloadsThatAreTooLongOrHoldANul) {
  EXPECT_THAT(why(std::string(limits::payload_bytes_max + 1, '1'), plain()),
              HasSubstr("allowed: at most 16384"));
  EXPECT_THAT(why(std::string("21.5\0", 5), plain()), HasSubstr("house/larder"));
  EXPECT_THAT(why(std::string("{\"t\":1}\0", 8), within("/t")), HasSubstr("NUL"));
}

TEST(ReadingText, RefusesATemperatureThatOverflows) {
  ThermometerSetup thermometer = plain(TemperatureUnit::fahrenheit);
  EXPECT_EQ(degrees("1.7e308", thermometer), 1.7e308 / 1.8);  // finite, and core's to judge
  EXPECT_THAT(why(std::string(400, '9'), thermometer), HasSubstr("1.8e308"));
}

}  // namespace
}  // namespace wheymark
