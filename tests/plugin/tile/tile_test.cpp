// The tile as it goes out: what it says, and how often.
#include <gmock/gmock.h>

#include "tests/plugin/library/hub.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class Tile : public OnAHub {
 protected:
  static constexpr const char* topic = "wheymark/tile/jar-blue";
  void SetUp() override {
    start_anew();
    say("house/kitchen", "21.0");
  }
  [[nodiscard]] std::string tile() const { return hub.last_on(topic); }
  // What a screen reader says.
  [[nodiscard]] std::string spoken() const {
    const std::string svg = tile();
    const std::size_t begin = svg.find("<desc");
    return svg.substr(begin, svg.find("</desc>") - begin);
  }
};

TEST_F(Tile, IsRetainedAndSaysWhatThereIsToDo) {
  EXPECT_TRUE(hub.retained.contains(topic));
  EXPECT_THAT(tile(), AllOf(HasSubstr(">Empty</text>"), HasSubstr(">Ready for milk</text>")));

  press("start");
  pass(12h, 21.0);
  EXPECT_THAT(tile(), AllOf(HasSubstr(">Strain about "), HasSubstr("class=\"hatch\"")));
  EXPECT_THAT(spoken(), AllOf(HasSubstr("Blue jar: "), HasSubstr("Strain about "),
                              HasSubstr("likely "), HasSubstr("Progress to the peak: "),
                              HasSubstr("The milk is at "), HasSubstr("Kitchen shelf: 21.0 °C")));

  say("homie/5/jar-blue/care/sign/set", "whey-pockets");
  pass(1min, 21.0);
  EXPECT_THAT(tile(), AllOf(HasSubstr(">At its peak</text>"), HasSubstr(">Strain it now</text>")));

  press("strain");
  pass(1min, 21.0);
  EXPECT_THAT(tile(), HasSubstr(">Put it in the fridge</text>"));

  press("store");
  pass(24h * 3 + 1min);
  EXPECT_THAT(tile(), AllOf(HasSubstr(">In the fridge</text>"), HasSubstr(">3 days old</text>"),
                            HasSubstr(">best by Mon 15 Mar</text>"),
                            HasSubstr(">last day Mon 22 Mar</text>"), HasSubstr(" d left<")));
}

TEST_F(Tile, OfAThermometerThatStreamsComesNoMoreThanOnceInFiveMinutes) {
  press("start");
  pass(5h, 21.0);
  const std::size_t before = hub.on(topic).size();
  for (int second = 0; second < 3'600; second += 5) {
    now += 5s;
    say("house/kitchen", std::to_string(18.0 + 6.0 * second / 3'600.0));  // the picture shows it
    if (*instance->next_tick() <= now) instance->tick(now);
  }
  const std::size_t drawn = hub.on(topic).size() - before;
  EXPECT_LE(drawn, 12u);
  EXPECT_GE(drawn, 4u);  // its line of the room moves on each quarter of an hour
}

TEST_F(Tile, ShowsWhatSomebodySaysAtOnce) {
  press("start");
  EXPECT_THAT(tile(), HasSubstr(">Working</text>"));
  now += 1s;
  say("homie/5/jar-blue/care/sign/set", "whey-pockets");
  EXPECT_THAT(tile(), HasSubstr(">At its peak</text>"));
  now += 1s;
  press("strain");
  EXPECT_THAT(tile(), HasSubstr(">Put it in the fridge</text>"));
}

TEST_F(Tile, WithoutChangeNothingIsPublished) {
  pass(30min, 21.0);
  const std::size_t before = hub.on(topic).size();
  pass(3h, 21.0);
  EXPECT_EQ(hub.on(topic).size(), before);  // an empty jar stays empty
}

TEST_F(Tile, WithoutAThermometerItSaysThatItDoesNotKnow) {
  start_anew();
  press("start");
  pass(1min);
  EXPECT_THAT(tile(),
              AllOf(HasSubstr(">No forecast yet</text>"), Not(HasSubstr("hatch\" stroke"))));
}

TEST_F(Tile, ANameCannotBreakOut) {
  nlohmann::json changes;
  changes["jars"] = nlohmann::json::parse(two_jars)["jars"];
  changes["jars"][0]["name"] = R"(</text><script>alert("1")</script>)";
  start_anew(configuration(changes));
  EXPECT_THAT(tile(), Not(HasSubstr("<script>")));
  EXPECT_THAT(instance->document_at("/", now)->body, Not(HasSubstr("<script>alert")));
}

TEST_F(Tile, ThereIsADocumentForEveryPathAndForNoOther) {
  const auto paths = instance->document_at("/paths", now);
  ASSERT_TRUE(paths);
  EXPECT_EQ(paths->body, "/\n/page.css\n/page.js\n/tile/jar-blue.svg\n/tile/jar-swing.svg\n");
  for (const char* nowhere : {"", "/tile/", "/tile/jar-green.svg", "/../etc/passwd",
                              "/tile/../page.css", "//", "/tile/jar-blue.svg/"}) {
    EXPECT_FALSE(instance->document_at(nowhere, now)) << nowhere;
  }
}

}  // namespace
}  // namespace wheymark::test
