// A household's past, as documents.
#include "plugin/history/document.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "plugin/history/month.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using nlohmann::json;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::StartsWith;

// Three batches: one right, one late and thrown away as a bottle, one still working.
class APast : public ::testing::Test {
 protected:
  World world;
  Records records;

  void SetUp() override {
    batch(28h, Verdict::right, "bottle");
    world.does(Finish{"bottle"});
    batch(30h, Verdict::late, "flask");
    world.run_for(24h * 3);
    world.does(discard("flask"));
    world.does(start("blue"));
    world.run_for(2h);
    records = world.records<Records>();
  }
  void batch(Milliseconds lasts, Verdict verdict, const JarId& into) {
    world.does(start("blue"));
    world.run_for(lasts);
    Strain out = strain_into("blue", into);
    out.verdict = verdict;
    world.does(out);
    world.does(store(into));
    world.run_for(1h);
  }
  [[nodiscard]] Result<std::string> written(std::string_view name) {
    return document(name, world.household(), records, world.now());
  }
};

TEST_F(APast, OfBatchesIsALineEachWithWhatWasSaidAndComputed) {
  const json batches = json::parse(written("batches.json").value());
  ASSERT_EQ(batches.size(), 3u);
  EXPECT_EQ(batches[0]["jar"], "blue");
  EXPECT_EQ(batches[0]["hours"], 28.0);
  EXPECT_EQ(batches[0]["verdict"], "right");
  EXPECT_EQ(batches[0]["over_fermented"], false);
  EXPECT_NEAR(batches[0]["room_c"].get<double>(), 20.0, 1e-6);  // the room never changed
  EXPECT_EQ(batches[0]["ending"], "finished");
  EXPECT_EQ(batches[1]["over_fermented"], true);
  EXPECT_EQ(batches[1]["ending"], "discarded");
  EXPECT_TRUE(batches[2]["strained"].is_null());
}

TEST_F(APast, OfThePeakIsTheOneThatWasAnnounced) {
  const json batches = json::parse(written("batches.json").value());
  const Announcement& told = world.the("peak-open");
  EXPECT_NEAR(batches[0]["peak_h"].get<double>(), hours_between(morning, told.time), 0.2);
}

TEST_F(APast, OfBottlesHasTheirAgesAndHowTheyWent) {
  const json bottles = json::parse(written("bottles.json").value());
  ASSERT_EQ(bottles.size(), 2u);
  EXPECT_NEAR(bottles[1]["age_d"].get<double>(), 3.0 + 1.0 / 24.0, 1e-3);
  EXPECT_NEAR(bottles[1]["effective_age_d"].get<double>(), 3.0 + 1.0 / 24.0, 1e-3);  // at 4 degC
  EXPECT_EQ(bottles[1]["ending"], "discarded");
}

TEST_F(APast, CsvAndJsonHoldTheSameTables) {
  const json all = json::parse(written("all.json").value());
  for (const auto* table : {"batches", "bottles", "cultures", "readings"}) {
    const std::string csv = written(std::string(table) + ".csv").value();
    const auto lines = static_cast<std::size_t>(std::count(csv.begin(), csv.end(), '\n'));
    EXPECT_EQ(lines, all[table].size() + 1) << table;  // no field here holds a line break
  }
  EXPECT_GT(all["readings"].size(), 1000u);
}

TEST_F(APast, OfAMonthCountsWhatHappenedInIt) {
  const Month month = month_of(std::chrono::year{2027} / 3, world.household(), records);
  EXPECT_EQ(month.batches, 3);
  EXPECT_EQ(month.strained, 2);
  EXPECT_EQ(month.over_fermented, 1);
  EXPECT_EQ(month.bottles, 2);
  EXPECT_EQ(month.thrown_away, 1);
  EXPECT_EQ(month_of(std::chrono::year{2027} / 4, world.household(), records).batches, 0);
  EXPECT_THAT(written("month.txt 2027-03").value(),
              AllOf(HasSubstr("Batches: 3, 2 strained; over-fermented 1 (33 %)"),
                    HasSubstr("1 thrown away"), HasSubstr("Grains of Tilly")));
}

// What was given away has grown as well: 22 g that became 15 after 12 g had left grew by 5.
TEST_F(APast, OfAMonthCountsGrainsThatWereGivenAwayAsGrown) {
  world = World();
  world.does(Weigh{"tilly", 22.0});
  world.does(Spare{"tilly", SpareUse::given_away, 12.0, false});
  world.run_for(24h * 7);
  world.does(Weigh{"tilly", 15.0});
  EXPECT_THAT(
      written("month.txt 2027-03").value(),
      HasSubstr("Grains of Tilly: 22.0 g, then 15.0 g and 12.0 g taken away: grown by 5.0"));
}

TEST_F(APast, OfAMonthIsAPictureThatMarkupInNamesDoesNotBreak) {
  HouseholdSetup setup = small_setup();
  setup.home_name = "Mill <&> Lane";
  const Month month = month_of(std::chrono::year{2027} / 3, world.household(), records);
  const std::string svg = svg_of(month, setup);
  EXPECT_THAT(svg, AllOf(StartsWith("<svg xmlns="), HasSubstr("Mill &lt;&amp;&gt; Lane"),
                         Not(HasSubstr("<&>")), Not(HasSubstr("nan"))));
  const auto dots = [&] {
    std::size_t count = 0;
    for (auto at = svg.find("<circle"); at != std::string::npos; at = svg.find("<circle", at + 1)) {
      ++count;
    }
    return count;
  };
  EXPECT_EQ(dots(), month.peaks.size());
}

TEST_F(APast, OfAnEmptyMonthIsStillAPicture) {
  EXPECT_THAT(written("month.svg 2030-01").value(),
              AllOf(StartsWith("<svg"), HasSubstr("Batches: 0"), Not(HasSubstr("nan"))));
}

TEST_F(APast, AnythingElseIsRefusedWithWhatThereIs) {
  EXPECT_THAT(written("jars.csv").why(), AllOf(HasSubstr("\"jars.csv\""), HasSubstr("batches")));
  EXPECT_THAT(written("").why(), HasSubstr("month.svg"));
  for (const auto* month : {"2027-3", "2027-13", "2027", "March", "-027-03", "2027-03x"}) {
    EXPECT_THAT(written(std::string("month.txt ") + month).why(), HasSubstr("2027-03")) << month;
  }
}

}  // namespace
}  // namespace wheymark::test
