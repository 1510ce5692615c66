// What devices in homes really send, and what a sensible person expects to see: one row each.
//
// The kitchen's thermometer sends the message every five minutes. The home's zone is Helsinki, two
// hours ahead of UTC in winter. A row is about what is shown, whether it is doubted (the forecast
// is wider than of the same numbers sent plainly), and what people are told.
#include <gtest/gtest.h>

#include "tests/plugin/library/devices.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

struct Row {
  std::string name;
  json thermometer;     // beside its topic
  std::string message;  // {z} and the like are the time of sending, see filled()
  std::string shown;    // °C; empty: nothing
  bool is_doubted = false;
  std::string told = "";  // is in the alert and, once, in the log; empty: nothing is told
};

void PrintTo(const Row& row, std::ostream* out) {
  *out << row.message;
}

const json usual = json::object();
const json at_t{{"pointer", "/t"}};
const json fahrenheit{{"unit", "F"}};

std::string time_field(const std::string& form) {
  return R"({"t":21.4,"at":)" + form + "}";
}

const std::vector<Row>& rows() {
  static const std::vector<Row> all{
      {"ANumber", usual, "21.4", "21.4"},
      {"WithItsUnit", usual, "21.4 °C", "21.4"},
      {"WithItsUnitClose", usual, "21.4°C", "21.4"},
      {"WithALetter", usual, "21.4 C", "21.4"},
      {"WithTheOneSignForDegrees", usual, "21.4 ℃", "21.4"},
      {"WithTheUnitInLatin1", usual,
       "21.4 \xb0"
       "C",
       "21.4"},
      {"WithTheUnitAsAWord", usual, "21.4 celsius", "21.4"},
      {"InFahrenheitAndSaysSo", usual, "70.5 °F", "21.4"},
      {"ItsOwnUnitWins", fahrenheit, "21.4 °C", "21.4"},
      {"FahrenheitAsConfigured", fahrenheit, "70.5", "21.4"},
      {"KelvinAndSaysSo", usual, "294.55 K", "21.4"},
      {"ADecimalComma", usual, "21,4", "21.4"},
      {"ADecimalCommaAndAUnit", usual, "21,4 °C", "21.4"},
      {"APlus", usual, "+21.4", "21.4"},
      {"ATypographicMinus", usual, "−1.5", "-1.5"},
      {"AByteOrderMark", usual,
       "\xef\xbb\xbf"
       "21.4",
       "21.4"},
      {"InQuotes", usual, R"("21.4")", "21.4"},
      {"Spaces", usual, " 21.4 \r\n", "21.4"},
      {"AByteOrderMarkBeforeJson", at_t, "\xef\xbb\xbf{\"t\":21.4}", "21.4"},
      {"ATextWithUnitInJson", at_t, R"({"t":"21.4 °C"})", "21.4"},
      {"ATextWithCommaInJson", at_t, R"({"t":"21,4"})", "21.4"},
      {"Tenths", {{"scale", 0.1}}, "214", "21.4"},
      {"TenthsInJson", {{"pointer", "/t"}, {"scale", 0.1}}, R"({"t":214})", "21.4"},
      {"Z", timed, time_field(R"("{z}")"), "21.4"},
      {"AnOffset", timed, time_field(R"("{local}+02:00")"), "21.4"},
      {"AnOffsetWithoutColon", timed, time_field(R"("{utc}+0000")"), "21.4"},
      {"AnOffsetOfHours", timed, time_field(R"("{local}+02")"), "21.4"},
      {"ASpaceForT", timed, time_field(R"("{utc space}Z")"), "21.4"},
      {"ASpaceBeforeTheOffset", timed, time_field(R"("{utc space} +0000")"), "21.4"},
      {"NoSeconds", timed, time_field(R"("{utc minutes}Z")"), "21.4"},
      {"AFractionWithAComma", timed, time_field(R"("{utc},250Z")"), "21.4"},
      {"TheBasicForm", timed, time_field(R"("{basic}Z")"), "21.4"},
      {"UnixSecondsAsText", timed, time_field(R"("{unix}")"), "21.4"},
      {"UnixSeconds", timed, time_field("{unix}"), "21.4"},
      {"LocalTimeWithoutZone", timed, time_field(R"("{local}")"), "21.4", true},
      {"ItsClockIsSixMinutesFast", timed, time_field(R"("{ahead}")"), "21.4", true},
      {"ItsClockWasNeverSet", timed, time_field(R"("1970-01-01T00:00:12Z")"), "21.4", true},
      {"ItsInstantIsNull", timed, time_field("null"), "21.4", true},
      {"ItsInstantIsAWord", timed, time_field(R"("noon")"), "21.4", true},
      {"ItsInstantIsNotThere", timed, R"({"t":21.4})", "21.4", true},
      {"NotAvailable", usual, "n/a", "", false,
       R"("n/a" is no temperature: see /places/0/thermometer)"},
      {"AKeyRenamed", at_t, R"({"air":{"t":21.4},"humidity":55})", "", false,
       "nothing is at /t: see /places/0/thermometer/pointer; did you mean /air/t?"},
      {"AKeyRenamedToAWord", at_t, R"({"temperature":21.4,"humidity":55})", "", false,
       "did you mean /temperature?"},
      {"AnObjectWithoutAPointer", usual, R"({"t":21.4,"id":"k"})", "", false,
       "an object is no temperature: see /places/0/thermometer, which has no pointer; did you "
       "mean /t?"},
      {"ASwitchThere", at_t, R"({"t":true})", "", false, "true is no temperature"},
      {"ATimeOfDay", usual, "21:40", "", false, R"("21:40" is no temperature)"},
      {"TwoNumbers", usual, "21.4 55", "", false, "is no temperature"},
      {"AThousandsComma", usual, "1,214.0", "", false, "is no temperature"},
      {"ACommaThatIsNone", usual, "21,4,5", "", false, "is no temperature"},
      {"AnotherUnit", usual, "55 %", "", false, R"("55 %" is no temperature)"},
      {"HalfAMessage", at_t, R"({"t":21.)", "", false, "not JSON"},
      {"ANumberWhereJsonIsConfigured",
       {{"pointer", "/temp"}},
       "21.4",
       "",
       false,
       "nothing is at /temp"},
      {"Unavailable", usual, "unavailable", ""},
      {"Unknown", usual, "unknown", ""},
      {"Offline", usual, "offline", ""},
      {"Null", at_t, R"({"t":null})", ""},
      {"UnavailableInJson", at_t, R"({"t":"unavailable"})", ""},
      {"NotANumber", usual, "nan", ""},
      {"AnEmptyMessage", usual, "", ""},
      {"AnotherDevicesMessage",
       {{"pointer", "/t"}, {"match", {{"/id", "kitchen"}}}},
       R"({"t":-18.5,"id":"freezer"})",
       "",
       false,
       "no message on house/kitchen matches: see /places/0/thermometer/match"},
      {"ItsOwnMessageOfMany",
       {{"pointer", "/t"}, {"match", {{"/id", "kitchen"}}}},
       R"({"t":21.4,"id":"kitchen"})",
       "21.4"},
      {"ItsOwnMessageByNumber",
       {{"pointer", "/t"}, {"match", {{"/id", 17}}}},
       R"({"t":21.4,"id":17})",
       "21.4"},
  };
  return all;
}

std::string replaced(std::string text, const std::string& what, const std::string& with) {
  const auto found = text.find(what);
  return found == std::string::npos ? text : text.replace(found, what.size(), with);
}

std::string filled(std::string message, Instant now) {
  const std::string utc = rfc3339(now).substr(0, 19);
  const std::string local = rfc3339(now + 2h).substr(0, 19);
  std::string basic = utc;
  std::erase_if(basic, [](char c) { return c == '-' || c == ':'; });
  const auto unix_s = std::chrono::floor<std::chrono::seconds>(now).time_since_epoch().count();
  message = replaced(message, "{z}", utc + "Z");
  message = replaced(message, "{utc}", utc);
  message = replaced(message, "{utc space}", replaced(utc, "T", " "));
  message = replaced(message, "{utc minutes}", utc.substr(0, 16));
  message = replaced(message, "{local}", local);
  message = replaced(message, "{basic}", basic);
  message = replaced(message, "{ahead}", rfc3339(now + 6min));
  return replaced(message, "{unix}", std::to_string(unix_s));
}

class WhatDevicesSend : public ::testing::TestWithParam<Row> {
 protected:
  static json with(const json& thermometer) {
    json configuration = small_configuration({{"home", {{"time_zone", "Europe/Helsinki"}}}});
    configuration["places"][0]["thermometer"].update(thermometer);
    return configuration;
  }
  // A batch works in the kitchen, and its thermometer speaks for three hours.
  static std::unique_ptr<Home> after_three_hours(const json& thermometer,
                                                 const std::string& message) {
    auto home = std::make_unique<Home>(with(thermometer));
    home->connects();
    home->hears("house/kitchen", filled(message, home->now()));
    home->says({{"fact", "start"}, {"jar", "blue"}});
    for (int i = 0; i < 36; ++i) {
      home->run_for(5min);
      home->hears("house/kitchen", filled(message, home->now()));
    }
    return home;
  }
  static double width_h(const Home& home) {
    const auto instant = [&](const char* which) {
      return instant_from_rfc3339(home.state(std::string("jar-blue/batch/peak-opens-") + which));
    };
    const auto from = instant("earliest");
    const auto until = instant("latest");
    return from && until ? hours_between(from.value(), until.value()) : 0.0;
  }
};

TEST_P(WhatDevicesSend, IsUnderstoodOrNamed) {
  const Row& row = GetParam();
  const auto home = after_three_hours(row.thermometer, row.message);

  EXPECT_EQ(home->state("place-kitchen/air/temperature"), row.shown);
  const std::vector<std::string> lines = log_of(*home, "kitchen");
  EXPECT_LE(lines.size(), 3U) << "of 37 messages: " << ::testing::PrintToString(lines);
  if (!row.shown.empty()) {
    EXPECT_EQ(home->state("place-kitchen/air/thermometer"), "good");
    EXPECT_THAT(alerts_of(*home, "kitchen"), Not(HasSubstr("thermometer")));
    const double plain_h = width_h(*after_three_hours(usual, row.shown));
    constexpr double rounding_h = 0.05;  // forecasts are shown to the minute
    if (row.is_doubted) {
      ASSERT_GT(plain_h, 0.0);  // below zero no peak is foreseen
      EXPECT_GT(width_h(*home), plain_h + rounding_h);
    } else {
      EXPECT_NEAR(width_h(*home), plain_h, rounding_h);
    }
  }
  if (!row.told.empty()) {
    EXPECT_EQ(home->state("place-kitchen/air/thermometer"), "not-understood");
    EXPECT_THAT(alerts_of(*home, "kitchen"), HasSubstr(row.told));
    ASSERT_FALSE(lines.empty());
    EXPECT_THAT(lines.front(), HasSubstr(row.told));
    EXPECT_THAT(home->told(), Contains("place-kitchen thermometer-not-understood").Times(1));
    EXPECT_THAT(home->told(), Not(Contains("place-kitchen thermometer-silent")));
  } else {
    EXPECT_THAT(home->told(), Not(Contains("place-kitchen thermometer-not-understood")));
    EXPECT_THAT(alerts_of(*home, "kitchen"), Not(HasSubstr("no temperature")));
  }
}

INSTANTIATE_TEST_SUITE_P(Row, WhatDevicesSend, ::testing::ValuesIn(rows()),
                         [](const auto& row) { return row.param.name; });

}  // namespace
}  // namespace wheymark::test
