// Every configuration that we hand out is one that we accept.
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sstream>

#include "plugin/configuration/configuration.hpp"

namespace wheymark {
namespace {

std::string text_in(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream text;
  text << stream.rdbuf();
  return text.str();
}

const std::filesystem::path folder = std::filesystem::path(WHEYMARK_SOURCE_DIR) / "config-examples";

TEST(ConfigurationExamples, EachIsAcceptedWithoutAdvice) {
  int examples = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() != ".json") continue;
    ++examples;
    const auto read = configuration_from(text_in(entry.path()));
    if (const auto* complaints = std::get_if<Complaints>(&read)) {
      for (const auto& complaint : *complaints)
        ADD_FAILURE() << entry.path() << ": " << line_of(complaint);
      continue;
    }
    for (const auto& advice : std::get<Configuration>(read).advice) {
      ADD_FAILURE() << entry.path() << ": " << line_of(advice);
    }
  }
  EXPECT_GT(examples, 0);
}

TEST(ConfigurationExamples, TheHouseholdHasThreeWorkingJarsAndTwoBottles) {
  const auto read = configuration_from(text_in(folder / "household.json"));
  ASSERT_TRUE(std::holds_alternative<Configuration>(read));
  const auto& configuration = std::get<Configuration>(read);
  const auto& jars = configuration.setup.jars;

  EXPECT_EQ(std::count_if(jars.begin(), jars.end(), [](const auto& j) { return j.culture; }), 3);
  EXPECT_EQ(jars.size(), 5U);
  EXPECT_EQ(configuration.thermometers.size(), configuration.setup.places.size());
  EXPECT_NE(configuration.setup.first_fridge(), nullptr);
}

}  // namespace
}  // namespace wheymark
