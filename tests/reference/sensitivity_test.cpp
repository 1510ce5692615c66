// Does core/README.md still say what the computation does, and does that make sense?
#include "tests/reference/sensitivity.hpp"

#include <gtest/gtest.h>
#include <sstream>

namespace wheymark::published {
namespace {

std::string committed(const char* name) {
  std::stringstream text;
  text << std::ifstream(folder().parent_path().parent_path() / "core" / name).rdbuf();
  return text.str();
}

// CHANGE ALARM: our own output. It says that a published number has moved; if that was meant, run
// build/release/tests/write-sensitivity and read what it changed.
TEST(Sensitivity, TheCommittedTablesAndPictureAreCurrent) {
  const std::string readme = committed("README.md");
  EXPECT_EQ(readme, with_generated_parts(readme));
  EXPECT_EQ(committed("sensitivity.svg"), sensitivity_picture());
}

TEST(Sensitivity, WhatSpeedsABatchUpDoesSo) {
  for (const Effect& e : effects_of_inputs()) {
    if (e.input.starts_with("kind of milk") || e.input == "treatment") continue;
    const bool more_is_faster = e.input != "milk" && e.input != "jar's time constant";
    EXPECT_EQ(e.high_h < 0, more_is_faster) << e.input;
    EXPECT_EQ(e.low_h > 0, more_is_faster) << e.input;
  }
}

TEST(Sensitivity, BeforeACultureIsKnownNothingMattersMore) {
  // Which is why the first report is worth more than a better thermometer.
  EXPECT_EQ(effects_of_inputs().front().input, "culture's pace, before it is known (80 %)");
}

}  // namespace
}  // namespace wheymark::published
