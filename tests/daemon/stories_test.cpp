// Whole days of a household, replayed by the finished wheymarkd on the example configuration.
//
// What must be announced follows from what happens to kefir in kitchens (common practice: about a
// day at 20 degC, half a day or less in summer's heat, a day and a half and more in a cold
// kitchen), from the order of things, and from the two promises of a replay: the same twice, and
// the same in two pieces as in one.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/story.hpp"

namespace wheymark::test {
namespace {

using namespace std::chrono_literals;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

const json start_tall{{"fact", "start"}, {"jar", "tall"}};
const json strain_tall{{"fact", "strain"},
                       {"jar", "tall"},
                       {"into", "bottle-1"},
                       {"verdict", "right"},
                       {"grain_g", 31}};
const json store_bottle{{"fact", "store"}, {"jar", "bottle-1"}};

Story ordinary_day() {
  Story story;
  story.swings("dresser", 20.5, 1.0).passes(30min);
  story.says(start_tall).passes(24h);
  story.says(strain_tall).passes(20min).says(store_bottle).passes(3h);
  return story;
}

TEST(Stories, AnOrdinaryBatchIsToldFromItsStartToTheFridge) {
  const Replayed told(ordinary_day());
  EXPECT_THAT(told.told_of("jar-tall"),
              ElementsAre("batch-started", "peak-near", "peak-open", "strained"));
  EXPECT_THAT(told.told_of("jar-bottle-1"), ElementsAre("stored"));
  EXPECT_GT(told.hours("jar-tall", "batch-started", "peak-open"), 14.0);
  EXPECT_LT(told.hours("jar-tall", "batch-started", "peak-open"), 24.0);
  EXPECT_EQ(told.state("jar-tall/batch/stage"), "empty");
  EXPECT_EQ(told.state("jar-bottle-1/batch/stage"), "fridge");
  EXPECT_EQ(told.state("jar-bottle-1/batch/culture"), "tilly");
  EXPECT_EQ(told.state("culture-tilly/grains/mass"), "31.0");
  for (const json& answer : told.answers()) EXPECT_EQ(answer["accepted"], true) << answer;
}

TEST(Stories, InAColdWinterKitchenItTakesDays) {
  Story story;
  story.is("dresser", 15.0).passes(30min).says(start_tall).passes(72h);
  const Replayed told(story);
  EXPECT_GT(told.hours("jar-tall", "batch-started", "peak-open"), 30.0);
  EXPECT_LT(told.hours("jar-tall", "batch-started", "peak-open"), 60.0);
}

TEST(Stories, InASummerHeatwaveItIsDoneBeforeTheEvening) {
  Story story;
  story.swings("dresser", 29.0, 2.0).passes(30min);
  json warm = start_tall;
  warm["milk_c"] = 20;
  story.says(warm).passes(24h);
  const Replayed told(story);
  EXPECT_THAT(told.told_of("jar-tall"), ElementsAre("batch-started", "peak-near", "peak-open",
                                                    "peak-closing", "over-fermented"));
  EXPECT_GT(told.hours("jar-tall", "batch-started", "peak-open"), 5.0);
  EXPECT_LT(told.hours("jar-tall", "batch-started", "peak-open"), 12.0);
}

TEST(Stories, StrainedEarlyItIsNotWarnedOf) {
  Story story;
  story.passes(30min).says(start_tall).passes(6h).says(strain_tall).passes(48h);
  const Replayed told(story);
  EXPECT_THAT(told.told_of("jar-tall"), ElementsAre("batch-started", "strained"));
}

TEST(Stories, ForgottenItIsToldOnceThatItIsOverWithTheCaution) {
  Story story;
  story.passes(30min).says(start_tall).passes(6 * 24h);
  const Replayed told(story);
  EXPECT_THAT(told.told_of("jar-tall"), ElementsAre("batch-started", "peak-near", "peak-open",
                                                    "peak-closing", "over-fermented"));
  EXPECT_EQ(told.state("jar-tall/batch/stage"), "over-fermented");
  EXPECT_THAT(told.the("jar-tall", "over-fermented")["data"]["caution"].get<std::string>(),
              HasSubstr("discard it"));
}

TEST(Stories, ToldLateItIsTheSameBatch) {
  Story in_time;
  in_time.passes(2h).says(start_tall).passes(30h);
  Story late;
  late.passes(5h).says(start_tall, 3h).passes(27h);
  const Replayed one(in_time);
  const Replayed other(late);
  EXPECT_EQ(other.told_of("jar-tall"), one.told_of("jar-tall"));
  EXPECT_EQ(other.the("jar-tall", "peak-open"), one.the("jar-tall", "peak-open"));
  EXPECT_EQ(other.the("jar-tall", "batch-started")["time"],
            one.the("jar-tall", "batch-started")["time"]);
  EXPECT_THAT(other.the("jar-tall", "batch-started")["data"]["text"].get<std::string>(),
              HasSubstr("it is told only now"));
  EXPECT_EQ(other.state("jar-tall/batch/ph"), one.state("jar-tall/batch/ph"));
}

TEST(Stories, TakenBackItIsNotTalkedAboutAnyMore) {
  Story story;
  json with_ref = start_tall;
  with_ref["ref"] = "slip";
  story.passes(30min).says(with_ref).passes(2h);
  story.says({{"fact", "retract"}, {"ref", "slip"}}).passes(60h);
  const Replayed told(story);
  EXPECT_THAT(told.told_of("jar-tall"), ElementsAre("batch-started"));
  EXPECT_EQ(told.state("jar-tall/batch/stage"), "empty");
  EXPECT_EQ(told.state("jar-tall/batch/progress"), "");
}

TEST(Stories, AThermometerThatDiesAndComesBackIsToldAndTheBatchGoesOn) {
  Story story;
  story.passes(30min).says(start_tall).passes(5h);
  story.thermometer_dies("dresser").passes(6h);
  story.thermometer_works("dresser").passes(18h);
  const Replayed told(story);
  EXPECT_THAT(told.told_of("place-dresser"), ElementsAre("thermometer-silent", "thermometer-back"));
  EXPECT_THAT(told.told_of("jar-tall"), Contains("peak-open").Times(1));
  EXPECT_THAT(told.told_of("place-larder"), IsEmpty());
  EXPECT_EQ(told.state("place-dresser/air/thermometer"), "good");
}

TEST(Stories, TwoJarsAndAFridgeEachHaveTheirOwn) {
  Story story;
  story.passes(30min).says(start_tall).passes(2h);
  story.says({{"fact", "start"}, {"jar", "goat"}}).passes(22h);
  story.says(strain_tall).passes(10min).says(store_bottle);
  story.passes(30min).says(start_tall).passes(48h);
  const Replayed told(story);
  EXPECT_THAT(told.told_of("jar-tall"),
              ElementsAre("batch-started", "peak-near", "peak-open", "strained", "batch-started",
                          "peak-near", "peak-open", "peak-closing", "over-fermented"));
  EXPECT_THAT(told.told_of("jar-bottle-1"), ElementsAre("stored"));
  EXPECT_EQ(told.told_of("jar-goat").front(), "batch-started");
  EXPECT_THAT(told.the("jar-goat", "batch-started")["data"]["caution"].get<std::string>(),
              HasSubstr("Raw milk"));  // as the example configuration says of it
  // Cooler, and less grain for its milk: later than the tall jar.
  EXPECT_GT(told.hours("jar-goat", "batch-started", "peak-open"),
            1.2 * told.hours("jar-tall", "batch-started", "peak-open"));
  std::vector<std::string> ids = told.ids();
  std::sort(ids.begin(), ids.end());
  EXPECT_EQ(std::adjacent_find(ids.begin(), ids.end()), ids.end());
}

// --- the promises of a replay -------------------------------------------------------------------

TEST(Stories, TheSameInputGivesTheSameBytes) {
  EXPECT_EQ(Replayed(ordinary_day()).bytes(), Replayed(ordinary_day()).bytes());
}

TEST(Stories, CutInFivePlacesAndResumedItIsTheSameStory) {
  const Story story = ordinary_day();
  const Replayed whole(story);
  const std::vector<std::string> lines = story.lines();
  for (const double share : {0.02, 0.3, 0.55, 0.8, 0.99}) {
    const auto cut =
        lines.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(lines.size()));
    const TemporaryFolder folder;
    const std::string store = folder.path_of("wheymark.db");
    const Replayed first({lines.begin(), cut}, store);
    const Replayed second({cut, lines.end()}, store);
    std::vector<json> events = first.events();
    for (const json& event : second.events()) events.push_back(event);
    EXPECT_EQ(events, whole.events()) << "cut at " << share;
    for (const char* topic :
         {"jar-tall/batch/stage", "jar-bottle-1/batch/ph", "jar-bottle-1/batch/milk-temperature",
          "jar-bottle-1/fridge/best-by"}) {
      EXPECT_EQ(second.state(topic), whole.state(topic)) << topic << " cut at " << share;
    }
  }
}

// Three weeks of a bottle, with the daemon started again every few days.
TEST(Stories, ABottleIsRemindedOfOnceEachHoweverOftenTheDaemonStarts) {
  Story story;
  story.passes(30min).says(start_tall).passes(20h).says(strain_tall).says(store_bottle);
  story.passes(24h * 22);
  const std::vector<std::string> lines = story.lines();
  const TemporaryFolder folder;
  const std::string store = folder.path_of("wheymark.db");
  std::vector<std::string> told;
  constexpr std::ptrdiff_t starts = 7;
  const auto each = static_cast<std::ptrdiff_t>(lines.size()) / starts;
  for (std::ptrdiff_t i = 0; i < starts; ++i) {
    const auto from = lines.begin() + i * each;
    const Replayed part({from, i + 1 == starts ? lines.end() : from + each}, store);
    for (const std::string& kind : part.told_of("jar-bottle-1")) told.push_back(kind);
  }
  EXPECT_THAT(told, ElementsAre("stored", "vent-lid", "best-by-near", "best-by-passed",
                                "last-day-near", "last-day-passed"));
}

TEST(Stories, CutWhileABatchWorksTheForecastIsTheSame) {
  Story story;
  story.swings("dresser", 21.0, 2.0).passes(1h).says(start_tall).passes(9h);
  const Replayed whole(story);
  const std::vector<std::string> lines = story.lines();
  const auto middle = lines.begin() + static_cast<std::ptrdiff_t>(lines.size() / 2);
  const TemporaryFolder folder;
  const std::string store = folder.path_of("wheymark.db");
  const Replayed first({lines.begin(), middle}, store);
  const Replayed second({middle, lines.end()}, store);
  for (const char* property : {"progress", "ph", "acidity", "milk-temperature", "peak-opens",
                               "peak-opens-earliest", "peak-opens-latest", "peak-closes"}) {
    const std::string topic = std::string("jar-tall/batch/") + property;
    EXPECT_NE(whole.state(topic), "") << topic;
    EXPECT_EQ(second.state(topic), whole.state(topic)) << topic;
  }
}

}  // namespace
}  // namespace wheymark::test
