// Does every number say where it comes from, and is a wrong one refused?
#include "core/kinetics/parameters.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <limits>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "core/kinetics/milk.hpp"
#include "tests/vocabulary/bibliography.hpp"

namespace wheymark {
namespace {

using test::bibliography;
using test::keys_of_the_bibliography;
using test::Source;

using ::testing::HasSubstr;

bool is_mark(std::string_view source) {
  return source == "our estimate" || source == "common practice" ||
         (source.starts_with("from memory: ") && source.size() > 13);
}

std::set<std::string> cited_in_tables() {
  std::set<std::string> cited;
  const auto cite = [&](std::string_view source) {
    if (!is_mark(source)) cited.emplace(source);
  };
  for (const ParameterRow& row : parameter_table()) cite(row.source);
  for (const MilkRow& row : milk_table()) cite(row.source), cite(row.ph_source);
  return cited;
}

// Keys in square brackets: in the comments of the kinetics and of its tests, in the headers of the
// published tables, and in the text about the computation.
std::set<std::string> cited_in_comments() {
  std::set<std::string> cited;
  const std::regex mark(R"(\[([a-z]+[0-9]+)\])");
  const auto cite = [&](const std::string& text) {
    for (std::sregex_iterator hit(text.begin(), text.end(), mark), end; hit != end; ++hit) {
      cited.insert((*hit)[1].str());
    }
  };
  const std::filesystem::path root(WHEYMARK_SOURCE_DIR);
  for (const char* folder : {"core", "tests/core/kinetics", "tests/reference"}) {
    for (const auto& file : std::filesystem::recursive_directory_iterator(root / folder)) {
      const std::string ending = file.path().extension().string();
      const bool code = ending == ".cpp" || ending == ".hpp";
      if (!code && ending != ".csv") continue;
      std::ifstream in(file.path());
      for (std::string line; std::getline(in, line);) {
        const std::size_t comment = line.find(code ? "//" : "#");
        if (comment != std::string::npos) cite(line.substr(comment));
      }
    }
  }
  std::ifstream in(root / "core/README.md");
  for (std::string line; std::getline(in, line);) cite(line);
  return cited;
}

TEST(Parameters, EveryMemberHasItsOwnRow) {
  ASSERT_EQ(parameter_table().size() * sizeof(double), sizeof(Parameters));
  // Marking each member through its row must mark all of them.
  Parameters marked = default_parameters();
  std::set<std::string_view> names;
  for (const ParameterRow& row : parameter_table()) {
    EXPECT_FALSE(std::isnan(row.value(marked))) << row.name << " has two rows";
    marked.*row.member = std::numeric_limits<double>::quiet_NaN();
    EXPECT_TRUE(names.insert(row.name).second) << row.name;
    EXPECT_FALSE(row.unit.empty()) << row.name;
    EXPECT_LT(row.min, row.max) << row.name;
  }
}

TEST(Parameters, TheDefaultsAreInRange) {
  const Outcome outcome = in_range(default_parameters());
  EXPECT_TRUE(outcome.ok()) << outcome.why();
}

TEST(Parameters, EachOutsideItsRangeIsRefusedByName) {
  for (const ParameterRow& row : parameter_table()) {
    for (const double wrong :
         {row.min - 1.0, row.max + 1.0, std::numeric_limits<double>::quiet_NaN()}) {
      Parameters parameters = default_parameters();
      parameters.*row.member = wrong;
      const Outcome outcome = in_range(parameters);
      ASSERT_FALSE(outcome.ok()) << row.name;
      EXPECT_THAT(outcome.why(), HasSubstr(std::string(row.name)));
    }
  }
}

TEST(Parameters, ARefusalHoldsTheValueAndTheRange) {
  Parameters parameters = default_parameters();
  parameters.milk_from_fridge_c = 40.0;
  EXPECT_EQ(in_range(parameters).why(),
            "parameter milk_from_fridge_c is 40 degC, allowed is 0 to 10");
}

TEST(Parameters, CardinalTemperaturesOutOfOrderAreRefused) {
  Parameters parameters = default_parameters();
  parameters.acid_best_c = 38.5;
  parameters.acid_max_c = 38.2;
  EXPECT_THAT(in_range(parameters).why(), HasSubstr("acid_best_c < acid_max_c"));
  parameters = default_parameters();
  parameters.gas_best_c = 26.0;  // below the middle of 10 and 50: the model's pole
  parameters.gas_min_c = 10.0;
  parameters.gas_max_c = 50.0;
  EXPECT_THAT(in_range(parameters).why(), HasSubstr("gas_best_c"));
}

TEST(Parameters, SignsOutOfOrderAreRefused) {
  Parameters parameters = default_parameters();
  parameters.set_ph = 5.0;
  parameters.thickened_ph = 4.95;
  EXPECT_THAT(in_range(parameters).why(), HasSubstr("thickened_ph > set_ph"));
  parameters = default_parameters();
  parameters.peak_opens_ph = 4.35;
  parameters.peak_closes_ph = 4.38;
  EXPECT_THAT(in_range(parameters).why(), HasSubstr("peak_opens_ph > peak_closes_ph"));
}

TEST(Bibliography, IsSortedAndEveryKeyIsThereOnce) {
  const std::vector<Source> all = bibliography();
  EXPECT_EQ(keys_of_the_bibliography().size(), all.size());
  EXPECT_TRUE(std::is_sorted(all.begin(), all.end(),
                             [](const Source& a, const Source& b) { return a.key < b.key; }));
  for (const Source& source : all) EXPECT_GT(source.said_of_it.size(), 40u) << source.key;
}

TEST(Bibliography, NoCitedKeyIsMissing) {
  const std::set<std::string> all = keys_of_the_bibliography();
  for (const std::string& key : cited_in_tables()) EXPECT_TRUE(all.contains(key)) << key;
  for (const std::string& key : cited_in_comments()) EXPECT_TRUE(all.contains(key)) << key;
}

TEST(Bibliography, NoKeyIsLeftOver) {
  const std::set<std::string> tables = cited_in_tables();
  const std::set<std::string> comments = cited_in_comments();
  for (const std::string& key : keys_of_the_bibliography()) {
    EXPECT_TRUE(tables.contains(key) || comments.contains(key)) << key;
  }
}

}  // namespace
}  // namespace wheymark
