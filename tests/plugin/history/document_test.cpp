// A household's past, as documents.
#include "plugin/history/document.hpp"

#include <fstream>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <regex>

#include "plugin/history/curves.hpp"
#include "plugin/history/month.hpp"
#include "tests/core/household/world.hpp"
#include "tests/reference/household_curves.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::test {
namespace {

using nlohmann::json;
using published::HouseholdBatch;
using ::testing::AllOf;
using ::testing::ElementsAre;
using ::testing::ElementsAreArray;
using ::testing::HasSubstr;
using ::testing::Not;
using ::testing::SizeIs;
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

// --- the table that can be given away
// -------------------------------------------------------------

// One batch that was looked at, measured and moved; a second, two hours after it, still working.
class TwoBatches : public ::testing::Test {
 protected:
  World world;

  void SetUp() override {
    world.does(start("blue"));
    world.run_for(10h);
    world.does(SignSeen{"blue", Sign::still_milk});
    world.does(SignSeen{"blue", Sign::set}, world.now() - 1h, "by mistake");
    world.does(Retract{"by mistake"});
    world.does(Move{"blue", "larder"});
    world.run_for(10h);
    world.does(PhMeasured{"blue", 4.62});
    world.does(SignSeen{"blue", Sign::whey_pockets});
    world.run_for(1h);
    Strain out = strain_into("blue", "bottle");
    out.verdict = Verdict::right;
    out.grain_g = 21.5;
    world.does(out);
    world.run_for(2h);
    Start second = start("red");
    second.milk = MilkKind::goat;
    second.milk_c = 18.0;
    world.does(second);
    world.run_for(90min);
  }

  [[nodiscard]] std::string csv() {
    return csv_of(curves_table(world.household(), world.records<Records>()));
  }
  // As somebody would read it who has only the file.
  [[nodiscard]] std::vector<HouseholdBatch> read() {
    const TemporaryFolder folder;
    return published::household_file(folder.file("curves.csv", csv())).batches;
  }
};

TEST_F(TwoBatches, AreReadFromTheFileAsTheyWere) {
  const auto batches = read();
  ASSERT_THAT(batches, SizeIs(2));
  const HouseholdBatch& first = batches[0];
  EXPECT_EQ(first.brew.milk, MilkKind::cow_whole);
  EXPECT_EQ(first.brew.milk_ml, 950.0);
  EXPECT_EQ(first.brew.grain_g, 20.0);
  EXPECT_EQ(first.jar_ml, 1250.0);
  EXPECT_EQ(first.idle_h, std::nullopt);
  EXPECT_THAT(first.stays, ElementsAre(0.0, 10.0));
  ASSERT_THAT(first.looks, SizeIs(2));
  EXPECT_EQ(first.looks[0].hours, 10.0);
  EXPECT_EQ(first.looks[0].sign, Sign::still_milk);
  EXPECT_EQ(first.looks[1].hours, 20.0);
  EXPECT_EQ(first.looks[1].sign, Sign::whey_pockets);
  ASSERT_THAT(first.ph, SizeIs(1));
  EXPECT_EQ(first.ph[0].ph, 4.62);
  EXPECT_EQ(first.ended_h, 21.0);
  EXPECT_EQ(first.verdict, Verdict::right);
  // A reading each five minutes, between the pouring and the straining.
  EXPECT_THAT(first.air, SizeIs(21 * 12 - 1));
  for (const auto& read : first.air) EXPECT_EQ(read.air_c, 20.0);

  const HouseholdBatch& second = batches[1];
  EXPECT_EQ(second.culture, first.culture);
  EXPECT_EQ(second.brew.milk, MilkKind::goat);
  EXPECT_EQ(second.milk_c, 18.0);
  EXPECT_EQ(second.idle_h, 2.0);
  EXPECT_EQ(second.ended_h, std::nullopt);
}

TEST_F(TwoBatches, NameNobodyAndNoDay) {
  const std::string text = csv();
  // "fridge" and "room" are kinds; the fridge's own name here is the word of its kind.
  for (const char* name :
       {"Test home", "kitchen", "Kitchen", "larder", "Larder", "tilly", "Tilly", "blue", "Blue",
        ",red", "bottle", "Bottle", "UTC", "202", ":", "mistake"}) {
    EXPECT_THAT(text, Not(HasSubstr(name)));
  }
}

TEST_F(TwoBatches, SayNowhereWhatWasTakenBack) {
  EXPECT_THAT(csv(), Not(HasSubstr(",set,")));
}

TEST_F(TwoBatches, AfterARestSayHowLongItWas) {
  world.does(strain("red"));
  world.does(Rest{"tilly", {}});
  world.run_for(24h * 10);
  world.does(start("blue"));
  const auto batches = read();
  ASSERT_THAT(batches, SizeIs(3));
  ASSERT_TRUE(batches[2].after_rest);
  EXPECT_EQ(batches[2].after_rest->batch, 1);
  EXPECT_EQ(batches[2].after_rest->rested_h, 240.0);
}

TEST_F(TwoBatches, GivenUpEndWithoutAVerdict) {
  world.does(discard("red"));
  const auto batches = read();
  EXPECT_EQ(batches[1].ended_h, 1.5);
  EXPECT_EQ(batches[1].verdict, std::nullopt);
  EXPECT_THAT(csv(), HasSubstr("given-up"));
}

// curves.md is the one place where the columns are described.
TEST_F(TwoBatches, HaveTheColumnsThatAreDescribed) {
  std::ifstream in(std::string(WHEYMARK_SOURCE_DIR) + "/plugin/history/curves.md");
  std::vector<std::string> columns;
  std::set<std::string> kinds;
  std::vector<std::string>* to = nullptr;
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("| column |")) to = &columns;
    if (line.starts_with("| `what` | `number` |")) to = nullptr;
    std::smatch word;
    if (!std::regex_search(line, word, std::regex("^\\| `([a-z_-]+)` \\|"))) continue;
    if (to != nullptr) {
      to->push_back(word[1]);
    } else if (word[1] != "what") {
      kinds.insert(word[1]);
    }
  }
  const Table table = curves_table(world.household(), world.records<Records>());
  EXPECT_THAT(columns, ElementsAreArray(table.columns.begin(), table.columns.end()));
  world.does(discard("red"));
  std::set<std::string> written;
  for (const auto& row : curves_table(world.household(), world.records<Records>()).rows) {
    written.insert(std::get<std::string>(row[2]));
  }
  EXPECT_EQ(kinds, written);  // this household does all of them
}

}  // namespace
}  // namespace wheymark::test
