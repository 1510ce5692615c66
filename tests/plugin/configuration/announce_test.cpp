// A person's own templates, from which their hub gets a message for each device.
#include <gmock/gmock.h>
#include <nlohmann/json.hpp>

#include "plugin/configuration/configuration.hpp"

namespace wheymark {
namespace {

using nlohmann::json;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::Field;
using ::testing::HasSubstr;

json household(const json& announce) {
  json document = json::parse(R"({
    "home": { "name": "Quay \"House\"" },
    "broker": { "url": "mqtt://hub.local" },
    "places": [ { "id": "kitchen", "name": "Shelf", "kind": "room" } ],
    "cultures": [ { "id": "tilly", "name": "Tilly" } ],
    "jars": [ { "id": "blue", "name": "Blue {jar}", "capacity_ml": 1000, "place": "kitchen" },
              { "id": "red", "name": "a \"b\" \\ c", "capacity_ml": 1000, "place": "kitchen" } ] })");
  document["announce"] = announce;
  return document;
}

std::vector<Introduction> introductions(const json& announce) {
  const auto read = configuration_from(household(announce).dump());
  if (const auto* complaints = std::get_if<Complaints>(&read)) {
    ADD_FAILURE() << line_of(complaints->front());
    return {};
  }
  return std::get<Configuration>(read).introductions;
}

Complaints complaints(const json& announce) {
  const auto read = configuration_from(household(announce).dump());
  const auto* complaints = std::get_if<Complaints>(&read);
  return complaints == nullptr ? Complaints{} : *complaints;
}

auto at(const std::string& pointer, const std::string& part) {
  return AllOf(Field(&Complaint::pointer, pointer), Field(&Complaint::sentence, HasSubstr(part)));
}

TEST(Announce, EachJarGetsItsOwnTopicAndPayload) {
  const auto made = introductions({{{"each", "jar"},
                                    {"topic", "hub/{device.id}"},
                                    {"payload",
                                     {{"label", "{jar.name} of {home.name}"},
                                      {"listen", "{topic.batch.stage}"},
                                      {"press", "{set.care.step}"},
                                      {"alive", {"{topic.root-state}"}},
                                      {"unit", "{unit.batch.progress}"},
                                      {"number", 7}}}}});
  ASSERT_EQ(made.size(), 2U);
  EXPECT_EQ(made[0].topic, "hub/jar-blue");
  const json payload = json::parse(made[0].payload);
  EXPECT_EQ(payload["label"], "Blue {jar} of Quay \"House\"");  // a name is never filled in again
  EXPECT_EQ(payload["listen"], "homie/5/jar-blue/batch/stage");
  EXPECT_EQ(payload["press"], "homie/5/jar-blue/care/step/set");
  EXPECT_EQ(payload["alive"], json::array({"homie/5/wheymark/$state"}));
  EXPECT_EQ(payload["unit"], "%");
  EXPECT_EQ(payload["number"], 7);
  EXPECT_EQ(json::parse(made[1].payload)["label"], "a \"b\" \\ c of Quay \"House\"");
}

TEST(Announce, ATextIsPublishedAsItIsAndDoubledBracesAreBraces) {
  const auto made = introductions({{{"each", "culture"},
                                    {"topic", "x/{culture.id}"},
                                    {"payload", "{{{{ {culture.name} }}}}"}}});
  ASSERT_EQ(made.size(), 1U);
  EXPECT_EQ(made[0].payload, "{{ Tilly }}");
}

TEST(Announce, AKeyMayHoldAPlaceholderToo) {
  const auto made = introductions({{{"each", "place"},
                                    {"topic", "x/{place.id}"},
                                    {"payload", {{"{place.id}", "{topic.air.temperature}"}}}}});
  ASSERT_EQ(made.size(), 1U);
  EXPECT_EQ(made[0].payload, R"({"kitchen":"homie/5/place-kitchen/air/temperature"})");
}

TEST(Announce, AnUnknownPlaceholderIsToldOnceWithItsPlaceAndTheNearestName) {
  EXPECT_THAT(complaints({{{"each", "jar"},
                           {"topic", "x/{jar.id}"},
                           {"payload", {{"a", {1, {{"b", "{jar.nmae}"}}}}}}}}),
              ElementsAre(at("/announce/0/payload/a/1/b", "did you mean \"jar.name\"")));
  EXPECT_THAT(
      complaints({{{"each", "place"}, {"topic", "x/{jar.id}"}, {"payload", ""}}}),
      ElementsAre(at("/announce/0/topic", "found the placeholder \"{jar.id}\"; allowed: ")));
}

TEST(Announce, ALoneBraceIsToldHowToBeWritten) {
  for (const char* text : {"{", "}", "a } b", "{ {jar.id}", "{jar.id"}) {
    EXPECT_THAT(complaints({{{"each", "jar"}, {"topic", "x/{jar.id}"}, {"payload", text}}}),
                ElementsAre(at("/announce/0/payload", "for one brace")))
        << text;
  }
}

TEST(Announce, TheTopicMustTellDevicesApartAndBeNobodyElses) {
  EXPECT_THAT(complaints({{{"each", "jar"}, {"topic", "x"}, {"payload", ""}}}),
              ElementsAre(at("/announce/0/topic", "a second time")));
  EXPECT_THAT(
      complaints({{{"each", "jar"}, {"topic", "homie/5/{device.id}/$state"}, {"payload", ""}}}),
      ElementsAre(at("/announce/0/topic", "we say something else")));
  EXPECT_THAT(complaints({{{"each", "jar"}, {"topic", "wheymark/tile/{jar.id}"}, {"payload", ""}}}),
              ElementsAre(at("/announce/0/topic", "we say something else")));
}

}  // namespace
}  // namespace wheymark
