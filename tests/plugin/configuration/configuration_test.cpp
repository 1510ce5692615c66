// What a person wrote into the configuration is understood.
#include "plugin/configuration/configuration.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "plugin/wire/instant_text.hpp"
#include "tests/plugin/configuration/sound_configuration.hpp"

namespace wheymark {
namespace {

using namespace std::chrono_literals;
using nlohmann::json;
using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

TEST(Configuration, IsReadAsItWasWritten) {
  const Configuration read = understood_from(sound());

  EXPECT_EQ(read.setup.home_name, "Quay House");
  EXPECT_EQ(read.setup.time_zone, "Europe/Lisbon");
  EXPECT_EQ(read.broker.url, "mqtts://hub.local:8883");
  EXPECT_EQ(read.broker.client_id, "kefir");
  EXPECT_EQ(read.broker.user, "kefir");
  EXPECT_EQ(read.broker.password_file, "secret.txt");
  EXPECT_EQ(read.broker.ca_file, "ca.pem");
  EXPECT_EQ(read.broker.certificate_file, "c.pem");
  EXPECT_EQ(read.broker.key_file, "k.pem");
  EXPECT_EQ(read.store, "kefir.db");
  EXPECT_EQ(read.homie_domain, "things");
  EXPECT_EQ(read.prefix, "home/kefir");
  EXPECT_EQ(read.root_device, "kefir");
  EXPECT_EQ(read.tile_listen, "127.0.0.1:8078");
  ASSERT_EQ(read.introductions.size(), 2U);
  EXPECT_EQ(read.introductions[0].topic, "hub/blue/config");
  EXPECT_EQ(read.introductions[0].payload, R"({"name":"Blue jar"})");
  EXPECT_EQ(read.setup.lead_times.peak_near_h, 3.0);
  EXPECT_EQ(read.setup.lead_times.peak_closing_h, 1.5);
  EXPECT_EQ(read.setup.lead_times.best_by_near_d, 1.0);
  EXPECT_EQ(read.setup.lead_times.last_day_near_d, 4.0);
  EXPECT_EQ(read.setup.lead_times.vent_after_h, 12.0);
}

TEST(Configuration, PlacesCulturesAndJarsAreReadAsTheyWereWritten) {
  const Configuration read = understood_from(sound());

  const PlaceSetup* const book = read.setup.place("kitchen");
  ASSERT_NE(book, nullptr);
  EXPECT_EQ(book->name, "Kitchen shelf");
  EXPECT_EQ(book->kind, PlaceKind::room);
  EXPECT_TRUE(book->has_thermometer);
  EXPECT_EQ(book->silent_after, 90min);
  const ThermometerSetup& thermometer = read.thermometers.at("kitchen").front();
  EXPECT_EQ(thermometer.topic, "house/kitchen/climate");
  EXPECT_EQ(thermometer.pointer, "/temperature");
  EXPECT_EQ(thermometer.instant_pointer, "/at");
  EXPECT_EQ(thermometer.unit, TemperatureUnit::fahrenheit);
  EXPECT_EQ(thermometer.offset_k, -0.5);

  EXPECT_EQ(read.setup.culture("tilly")->name, "Tilly");
  EXPECT_EQ(read.setup.culture("tilly")->grain_g, 45.0);
  EXPECT_EQ(read.setup.culture("tilly")->usual,
            (std::vector<UsualBatch>{{22.0, 21.0, 20.0, 950.0, 5.0}, {30.0}}));

  const JarSetup* const blue = read.setup.jar("blue");
  ASSERT_NE(blue, nullptr);
  EXPECT_EQ(blue->name, "Blue jar");
  EXPECT_EQ(blue->capacity_ml, 1500.0);
  EXPECT_EQ(blue->place, "kitchen");
  EXPECT_EQ(blue->culture, "tilly");
  EXPECT_EQ(blue->milk, MilkKind::cow_whole);
  EXPECT_EQ(blue->treatment, Treatment::raw);
  EXPECT_EQ(blue->milk_ml, 950.0);
  EXPECT_EQ(blue->grain_g, 20.0);
  EXPECT_EQ(blue->lid, Lid::tight);
}

TEST(Configuration, TheWakingHoursMayEndPastMidnight) {
  json document = sound();
  document["home"]["waking"] = {{"from", "09:05"}, {"until", "01:00"}};
  const HouseholdSetup setup = understood_from(document).setup;
  EXPECT_EQ(setup.waking.from, 9h + 5min);
  EXPECT_EQ(setup.waking.until, 1h);
}

TEST(Configuration, WhatIsLeftOutHasTheAgreedDefaults) {
  const Configuration read = understood_from(json::parse(
      R"({"home":{"name":"Hut"},"broker":{"url":"mqtt://hub"},"cultures":[{"id":"c"}],
          "places":[{"id":"p","kind":"room","thermometer":{"topic":"t"}},{"id":"q","kind":"fridge"}],
          "jars":[{"id":"j","capacity_ml":500,"place":"p"}]})"));

  EXPECT_EQ(read.setup.time_zone, "UTC");
  EXPECT_EQ(read.setup.waking.from, 7h);
  EXPECT_EQ(read.setup.waking.until, 22h + 30min);
  EXPECT_EQ(read.broker.client_id, "wheymark");
  EXPECT_EQ(read.broker.user, "");
  EXPECT_EQ(read.store, "wheymark.db");
  EXPECT_EQ(read.homie_domain, "homie");
  EXPECT_EQ(read.prefix, "wheymark");
  EXPECT_EQ(read.root_device, "wheymark");
  EXPECT_EQ(read.tile_listen, std::nullopt);
  EXPECT_TRUE(read.introductions.empty());
  EXPECT_EQ(read.setup.lead_times.peak_near_h, 2.0);
  EXPECT_EQ(read.setup.lead_times.peak_closing_h, 2.0);
  EXPECT_EQ(read.setup.lead_times.vent_after_h, 24.0);
  EXPECT_EQ(read.setup.place("p")->name, "p");
  EXPECT_EQ(read.setup.place("p")->silent_after, std::nullopt);
  EXPECT_EQ(read.thermometers.at("p").front().unit, TemperatureUnit::celsius);
  EXPECT_EQ(read.thermometers.at("p").front().pointer, std::nullopt);
  EXPECT_EQ(read.thermometers.at("p").front().offset_k, 0.0);
  EXPECT_FALSE(read.setup.place("q")->has_thermometer);
  EXPECT_EQ(read.thermometers.count("q"), 0U);
  const JarSetup& jar = *read.setup.jar("j");
  EXPECT_FALSE(jar.culture || jar.milk || jar.treatment || jar.milk_ml || jar.grain_g || jar.lid);
  EXPECT_THAT(read.advice, IsEmpty());
}

TEST(Configuration, AHouseholdMayStillBeEmpty) {
  const Configuration read = understood_from(json::parse(
      R"({"home":{"name":"Hut"},"broker":{"url":"mqtt://hub"},"places":[],"cultures":[],"jars":[]})"));

  EXPECT_THAT(read.setup.jars, IsEmpty());
}

TEST(Configuration, TheSetupsClockIsThatOfItsZone) {
  const Configuration read = understood_from(sound());

  EXPECT_EQ(read.setup.utc_offset(instant_from_rfc3339("2027-07-01T12:00:00Z").value()), 60min);
  EXPECT_EQ(read.setup.utc_offset(instant_from_rfc3339("2027-12-01T12:00:00Z").value()), 0min);
}

TEST(Configuration, CommentsAreWelcome) {
  const auto read = configuration_from("// mine\n" + sound().dump() + "/* end */");

  EXPECT_TRUE(std::holds_alternative<Configuration>(read));
}

TEST(Configuration, TwoThermometersMayShareATopic) {
  json document = sound();
  document["places"][1]["thermometer"] = {{"topic", "house/kitchen/climate"},
                                          {"pointer", "/fridge"}};

  EXPECT_EQ(understood_from(document).thermometers.at("fridge").front().pointer, "/fridge");
}

TEST(Configuration, AThermometerMayHaveAScaleAMatchAndAnAvailabilityTopic) {
  json document = sound();
  document["places"][0]["thermometer"] = {
      {"topic", "house/radio"},
      {"pointer", "/t"},
      {"scale", 0.1},
      {"match", {{"/id", "kitchen"}, {"/channel", 3}}},
      {"availability", {{"topic", "house/radio/state"}, {"online", "up"}}}};
  const ThermometerSetup read = understood_from(document).thermometers.at("kitchen").front();

  EXPECT_EQ(read.where, "/places/0/thermometer");
  EXPECT_EQ(read.scale, 0.1);
  EXPECT_THAT(read.match, ::testing::UnorderedElementsAre(::testing::Pair("/id", "kitchen"),
                                                          ::testing::Pair("/channel", "3")));
  EXPECT_EQ(read.availability->topic, "house/radio/state");
  EXPECT_EQ(read.availability->online, "up");
}

TEST(Configuration, APlaceMayHaveSeveralThermometers) {
  json document = sound();
  document["places"][0].erase("thermometer");
  document["places"][0]["thermometers"] = {{{"topic", "a"}, {"silent_after_min", 20}},
                                           {{"topic", "b"}, {"silent_after_min", 90}}};
  const Configuration read = understood_from(document);

  ASSERT_EQ(read.thermometers.at("kitchen").size(), 2U);
  EXPECT_EQ(read.thermometers.at("kitchen").back().where, "/places/0/thermometers/1");
  EXPECT_EQ(read.setup.place("kitchen")->silent_after, 90min) << "the most patient of them";
}

TEST(Configuration, AnotherHomieDevicesThermometerIsWelcome) {
  json document = sound();
  document["places"][0]["thermometer"]["topic"] = "things/5/window-sensor/air/temperature";

  EXPECT_EQ(understood_from(document).thermometers.at("kitchen").front().topic,
            "things/5/window-sensor/air/temperature");
}

TEST(Configuration, ABorderOfARangeIsAllowed) {
  const std::pair<const char*, json> table[] = {{"/jars/0/grain_g", 475},
                                                {"/jars/0/milk_ml", 1500},
                                                {"/jars/1/capacity_ml", 50},
                                                {"/jars/1/capacity_ml", 25'000},
                                                {"/cultures/0/grain_g", 0.5},
                                                {"/places/0/thermometer/offset_k", -10},
                                                {"/places/0/thermometer/silent_after_min", 1440},
                                                {"/notice/peak_near_h", 0}};
  for (const auto& [pointer, value] : table) {
    EXPECT_THAT(complaints_with(pointer, value), IsEmpty()) << pointer << " " << value;
  }
}

TEST(Configuration, IdsOfDifferentKindsMayBeTheSame) {
  json document = sound();
  document["jars"][1]["id"] = "kitchen";
  document["cultures"][1]["id"] = "kitchen";

  EXPECT_NE(understood_from(document).setup.jar("kitchen"), nullptr);
}

TEST(Configuration, AJarThatIsFilledHighIsAllowedWithAdvice) {
  json document = sound();
  document["jars"][0]["milk_ml"] = 1400;

  EXPECT_THAT(understood_from(sound()).advice, IsEmpty());
  EXPECT_THAT(understood_from(document).advice, ElementsAre(at("/jars/0/milk_ml", "foam over")));
}

TEST(Configuration, UltraPasteurisedMilkIsAllowedWithAdvice) {
  json document = sound();
  document["jars"][0]["treatment"] = "ultra-pasteurised";

  const Configuration read = understood_from(document);
  EXPECT_EQ(read.setup.jar("blue")->treatment, Treatment::ultra_pasteurised);
  EXPECT_THAT(read.advice, ElementsAre(at("/jars/0/treatment", "work poorly")));
}

TEST(Configuration, SaysInPlainLinesWhatItUnderstood) {
  const auto lines = understood(understood_from(sound()));

  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("Quay House"), HasSubstr("Europe/Lisbon"))));
  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("mqtts://hub.local:8883"), HasSubstr("secret.txt"))));
  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("kitchen"), HasSubstr("house/kitchen/climate"),
                                    HasSubstr("°F"), HasSubstr("-0.5 K"), HasSubstr("90 min"))));
  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("pantry"), HasSubstr("no thermometer"))));
  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("tilly"), HasSubstr("45 g"))));
  EXPECT_THAT(lines, Contains(AllOf(HasSubstr("blue"), HasSubstr("950 ml of milk"))));
  for (const auto& line : lines) EXPECT_THAT(line, Not(HasSubstr("\n")));
}

TEST(Configuration, ThousandsOfJarsAreRead) {
  json document = sound();
  for (int i = 0; i < 10'000; ++i) {
    document["jars"].push_back(
        {{"id", fmt::format("jar-{}", i)}, {"capacity_ml", 1000}, {"place", "kitchen"}});
  }

  EXPECT_EQ(understood_from(document).setup.jars.size(), 10'002U);
}

}  // namespace
}  // namespace wheymark
