// The tile as it is published: what it shows, and how often.
#include <gmock/gmock.h>
#include <sstream>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class Tile : public Connected {
 protected:
  static constexpr const char* topic = "wheymark/tile/jar-blue";
  Tile() { home.hears("house/kitchen", "21.0"); }
  [[nodiscard]] std::string tile() const { return home.broker.last_on(topic); }
  // What a screen reader says.
  [[nodiscard]] std::string spoken() const {
    const std::string svg = tile();
    const std::size_t begin = svg.find("<desc");
    return svg.substr(begin, svg.find("</desc>") - begin);
  }
};

TEST_F(Tile, IsRetainedAndSaysWhatThereIsToDo) {
  EXPECT_TRUE(home.broker.retained.contains(topic));
  EXPECT_THAT(tile(), AllOf(HasSubstr(">Empty</text>"), HasSubstr(">Ready for milk</text>")));

  home.presses("start");
  home.lives_for(12h, 21.0);
  EXPECT_THAT(tile(), AllOf(HasSubstr(">Strain about "), HasSubstr("class=\"hatch\"")));
  EXPECT_THAT(spoken(), AllOf(HasSubstr("Blue jar: "), HasSubstr("Strain about "),
                              HasSubstr("likely "), HasSubstr("Progress to the peak: "),
                              HasSubstr("The milk is at "), HasSubstr("kitchen: 21.0 °C")));

  home.hears("homie/5/jar-blue/care/sign/set", "whey-pockets");
  home.lives_for(1min, 21.0);
  EXPECT_THAT(tile(), AllOf(HasSubstr(">At its peak</text>"), HasSubstr(">Strain it now</text>")));

  home.presses("strain");
  home.lives_for(1min, 21.0);
  EXPECT_THAT(tile(), HasSubstr(">Put it in the fridge</text>"));

  home.presses("store");
  home.run_for(24h * 3 + 1min);
  EXPECT_THAT(tile(),
              AllOf(HasSubstr(">In the fridge</text>"), HasSubstr(">3 days old, 950 mL</text>"),
                    HasSubstr(">best by Mon 15 Mar</text>"),
                    HasSubstr(">last day Mon 22 Mar</text>"), HasSubstr(" d left<")));
}

TEST_F(Tile, OfAThermometerThatStreamsComesNoMoreThanOnceInFiveMinutes) {
  home.presses("start");
  home.lives_for(5h, 21.0);
  const std::size_t before = home.broker.on(topic).size();
  for (int second = 0; second < 3'600; second += 5) {
    home.run_for(5s);
    home.hears("house/kitchen", std::to_string(18.0 + 6.0 * second / 3'600.0));
  }
  const std::size_t drawn = home.broker.on(topic).size() - before;
  EXPECT_LE(drawn, 12u);
  EXPECT_GE(drawn, 4u);  // its line of the room moves on each quarter of an hour
}

TEST_F(Tile, ShowsWhatSomebodySaysAtOnce) {
  home.presses("start");
  EXPECT_THAT(tile(), HasSubstr(">Working</text>"));
  home.run_for(1s);
  home.hears("homie/5/jar-blue/care/sign/set", "whey-pockets");
  EXPECT_THAT(tile(), HasSubstr(">At its peak</text>"));
  home.run_for(1s);
  home.presses("strain");
  EXPECT_THAT(tile(), HasSubstr(">Put it in the fridge</text>"));
}

TEST_F(Tile, WithoutChangeNothingIsPublished) {
  home.lives_for(30min, 21.0);
  const std::size_t before = home.broker.on(topic).size();
  home.lives_for(3h, 21.0);
  EXPECT_EQ(home.broker.on(topic).size(), before);  // an empty jar stays empty
}

TEST_F(Tile, WithoutAThermometerItSaysThatItDoesNotKnow) {
  Home unread;
  unread.connects();
  unread.presses("start");
  EXPECT_THAT(unread.broker.last_on(topic),
              AllOf(HasSubstr(">No forecast yet</text>"), Not(HasSubstr("hatch\" stroke"))));
}

TEST_F(Tile, ANameCannotBreakOut) {
  json configuration = small_configuration();
  configuration["jars"][0]["name"] = R"(</text><script>alert("1")</script>)";
  home.restarts_with(configuration);
  home.connects();
  EXPECT_THAT(tile(), Not(HasSubstr("<script>")));
  EXPECT_THAT(home.instance().document_at("/", home.now())->body, Not(HasSubstr("<script>alert")));
}

TEST_F(Tile, ThereIsADocumentForEachListedPathAndNotForOthers) {
  const auto paths = home.instance().document_at("/paths", home.now());
  ASSERT_TRUE(paths);
  EXPECT_EQ(
      paths->body,
      "/\n/page.css\n/page.js\n/tile/jar-blue.svg\n/tile/jar-red.svg\n/tile/jar-bottle.svg\n");
  std::istringstream lines(paths->body);
  for (std::string path; std::getline(lines, path);) {
    const auto document = home.instance().document_at(path, home.now());
    ASSERT_TRUE(document) << path;
    EXPECT_NE(document->body, "") << path;
  }
  for (const char* nowhere : {"", "/tile/", "/tile/jar-green.svg", "/../etc/passwd",
                              "/tile/../page.css", "//", "/tile/jar-blue.svg/"}) {
    EXPECT_FALSE(home.instance().document_at(nowhere, home.now())) << nowhere;
  }
}

}  // namespace
}  // namespace wheymark::test
