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
  thermometer.where = "/places/1/thermometer";
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

// Two hours ahead of UTC.
Heard heard(std::string_view payload, const ThermometerSetup& thermometer) {
  return heard_in(payload, thermometer, [](Instant) { return std::chrono::minutes{120}; });
}

ReadingSaid said(std::string_view payload, const ThermometerSetup& thermometer) {
  const Heard all = heard(payload, thermometer);
  const auto* read = std::get_if<ReadingSaid>(&all);
  if (read == nullptr) ADD_FAILURE() << payload << " has no reading";
  return read == nullptr ? ReadingSaid{Celsius(-999.0), {}, ""} : *read;
}

double degrees(std::string_view payload, const ThermometerSetup& thermometer) {
  return said(payload, thermometer).temperature.degrees();
}

std::string why(std::string_view payload, const ThermometerSetup& thermometer) {
  const Heard all = heard(payload, thermometer);
  const auto* wrong = std::get_if<NotUnderstood>(&all);
  return wrong == nullptr ? "understood" : wrong->what;
}

TEST(ReadingText, WithoutAPointerThePayloadIsTheNumber) {
  EXPECT_EQ(degrees("21.4", plain()), 21.4);
  EXPECT_EQ(degrees(" -3\n", plain()), -3.0);
  EXPECT_FALSE(said("21.4", plain()).at.has_value());
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
    EXPECT_EQ(said(payload, with_instant()).at, then) << payload;
    EXPECT_EQ(said(payload, with_instant()).doubt, "") << payload;
  }
}

TEST(ReadingText, AnInstantThatCannotBeReadLeavesTheReadingWithADoubt) {
  for (const auto* payload :
       {R"({"t":21})", R"({"t":21,"at":"noon"})", R"({"t":21,"at":null})", R"({"t":21,"at":12})"}) {
    const ReadingSaid read = said(payload, with_instant());
    EXPECT_EQ(read.temperature.degrees(), 21.0) << payload;
    EXPECT_EQ(read.at, std::nullopt) << payload;
    EXPECT_THAT(read.doubt, AllOf(HasSubstr("house/larder at /at: found"), HasSubstr("as of now")))
        << payload;
  }
}

TEST(ReadingText, TheUnitInTheTextWinsAndTheScaleComesBeforeIt) {
  ThermometerSetup tenths = plain(TemperatureUnit::fahrenheit);
  tenths.scale = 0.1;
  EXPECT_DOUBLE_EQ(degrees("2120", tenths), 100.0);  // water boils at 212 degF
  EXPECT_DOUBLE_EQ(degrees("1000 °C", tenths), 100.0);
}

TEST(ReadingText, DoesNotJudgeWhetherATemperatureIsPlausible) {
  EXPECT_EQ(degrees("85", plain()), 85.0);
  EXPECT_EQ(degrees("-127", plain()), -127.0);
}

TEST(ReadingText, WhatIsNotUnderstoodIsToldByWhatItIsAndWhereToMendIt) {
  struct Wrong {
    const char* payload;
    ThermometerSetup thermometer;
    const char* what;
  };
  const Wrong table[] = {
      {"warm", plain(), "\"warm\" is no temperature: see /places/1/thermometer"},
      {"inf", plain(), "\"inf\" is no temperature"},
      {"21.4 V", plain(), "\"21.4 V\" is no temperature"},
      {"0x15", plain(), "is no temperature"},
      {"1e400", plain(), "is no temperature"},
      {"true", plain(), "\"true\" is no temperature"},
      {"\xff", plain(), "is no temperature"},
      {"{\"t\":21}", plain(), "an object is no temperature: see /places/1/thermometer, which has"},
      {"21.4", within("/t"), "nothing is at /t: see /places/1/thermometer/pointer; the message"},
      {"not json", within("/t"), "(not JSON at line 1, column 2"},
      {R"({"t":1e999})", within("/t"), "too large"},
      {R"({"t":21,"t":22})", within("/t"), "stands twice"},
      {R"({"T":21})", within("/t"), "nothing is at /t: see"},
      {R"({"T":21})", within("/t"), "; did you mean /T?"},
      {R"({"a":{"b/c":1,"room temp":"21 °C"}})", within("/t"), "; did you mean /a/room temp?"},
      {R"({"t":true})", within("/t"), "true is no temperature"},
      {R"({"t":{"v":1}})", within("/t"), "an object is no temperature"},
      {R"({"t":[1]})", within("/t"), "an array is no temperature"},
      {R"({"t":"warm"})", within("/t"), "\"warm\" is no temperature"},
      {R"({"t":[1]})", within("/t/1"), "nothing is at /t/1"},
      {R"({"t":[1]})", within("/t/-"), "nothing is at /t/-"},
      {R"({"t":[1]})", within("/t/00"), "nothing is at /t/00"},
      {R"({"t":[1]})", within("/t/"), "nothing is at /t/"},
      {R"({"t":[1]})", within("/t/x"), "nothing is at /t/x"},
      {R"({"t":[1]})", within("/t/99999999999999999999999"), "nothing is at"},
  };
  for (const auto& wrong : table) {
    EXPECT_THAT(why(wrong.payload, wrong.thermometer),
                AllOf(HasSubstr("/places/1/thermometer"), HasSubstr(wrong.what)))
        << wrong.payload;
  }
  EXPECT_THAT(why(std::string(limits::payload_bytes_max + 1, '1'), plain()), HasSubstr("16384"));
  EXPECT_THAT(why(std::string("21.5\0", 5), plain()), HasSubstr("is no temperature"));
  EXPECT_THAT(why(std::string("{\"t\":1}\0", 8), within("/t")), HasSubstr("NUL"));
  EXPECT_THAT(why(std::string(400, '9'), plain()), HasSubstr("is no temperature"));
}

TEST(ReadingText, AMessageOfAnotherDeviceIsNoneOfItsOwn) {
  ThermometerSetup ours = within("/t");
  ours.match = {{"/id", "17"}};
  EXPECT_EQ(degrees(R"({"t":21,"id":17})", ours), 21.0);
  EXPECT_EQ(degrees(R"({"t":21,"id":"17"})", ours), 21.0);
  for (const auto* payload : {R"({"t":21,"id":18})", R"({"t":21})", R"({"id":170,"t":"warm"})"}) {
    EXPECT_TRUE(std::holds_alternative<OfAnother>(heard(payload, ours))) << payload;
  }
}

TEST(ReadingText, WhatTellsDevicesApartIsWhatIsNeitherTheTemperatureNorMeasured) {
  EXPECT_THAT(
      names_in(R"({"t":21,"id":"a","at":{"ch":3},"rh":55.5})", within("/t")),
      testing::UnorderedElementsAre(testing::Pair("/id", "a"), testing::Pair("/at/ch", "3")));
}

}  // namespace
}  // namespace wheymark
