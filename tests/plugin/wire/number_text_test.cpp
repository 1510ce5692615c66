// Numbers as text, in and out.
#include "plugin/wire/number_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <limits>
#include <regex>

namespace wheymark {
namespace {

using testing::HasSubstr;

TEST(NumberText, ReadsAWholePayloadAsOneNumber) {
  const std::pair<const char*, double> table[] = {
      {"21.5", 21.5},    {"-3", -3.0},   {"0", 0.0},       {" 21.5\n", 21.5},
      {"\t7 \r\n", 7.0}, {"1e2", 100.0}, {"2.5E-1", 0.25}, {"0021.50", 21.5},
      {"-0.0", 0.0},     {"5.", 5.0},    {".5", 0.5}};
  for (const auto& [text, number] : table) {
    const auto read = number_from(text);
    ASSERT_TRUE(read.ok()) << text << ": " << read.why();
    EXPECT_EQ(read.value(), number) << text;
  }
}

TEST(NumberText, RefusesWhatIsNotExactlyOneNumberAndSaysWhatWasFound) {
  for (const std::string text :
       {"nan",     "NaN",   "inf",   "-inf", "Infinity", "21,5", "21.5 C", "21.5C",
        "2 1",     "0x10",  "+5",    "--5",  "1e",       "-",    ".",      "e5",
        "unknown", "21.5;", "1.2.3", "{}",   "\"21.5\"", "\xff", "٣"}) {
    const auto read = number_from(text);
    ASSERT_FALSE(read.ok()) << text;
    EXPECT_THAT(read.why(), HasSubstr("allowed: one number")) << text;
  }
  EXPECT_THAT(number_from("21,5").why(), HasSubstr("\"21,5\""));
  EXPECT_FALSE(number_from(std::string("21.5\0", 5)).ok());
}

TEST(NumberText, RefusesEmptyTextAndNumbersThatNoDoubleHolds) {
  EXPECT_THAT(number_from("").why(), HasSubstr("empty"));
  EXPECT_THAT(number_from(" \n").why(), HasSubstr("empty"));
  EXPECT_THAT(number_from("1e400").why(), HasSubstr("1.8e308"));
  EXPECT_THAT(number_from("-1e400").why(), HasSubstr("1.8e308"));
}

TEST(NumberText, WritesFixedPointWithoutExponentOrNegativeZero) {
  EXPECT_EQ(decimal(21.26, 1), "21.3");
  EXPECT_EQ(decimal(-21.26, 1), "-21.3");
  EXPECT_EQ(decimal(21.0, 0), "21");
  EXPECT_EQ(decimal(-0.04, 1), "0.0");
  EXPECT_EQ(decimal(-0.4, 0), "0");
  EXPECT_EQ(decimal(-0.0, 2), "0.00");
  EXPECT_EQ(decimal(-0.06, 1), "-0.1");
  EXPECT_EQ(decimal(1e22, 0), "10000000000000000000000");
}

TEST(NumberText, WritesNothingForWhatIsNotKnown) {
  EXPECT_EQ(decimal(std::numeric_limits<double>::quiet_NaN(), 1), "");
  EXPECT_EQ(decimal(std::numeric_limits<double>::infinity(), 1), "");
  EXPECT_EQ(decimal(-std::numeric_limits<double>::infinity(), 1), "");
}

TEST(NumberText, WhatItWritesIsAFloatOfTheHomieConvention) {
  // Digits, minus, exponent and point only; a plus sign is not allowed.
  const std::regex homie_float("-?([0-9]+(\\.[0-9]*)?|\\.[0-9]+)([eE]-?[0-9]+)?");
  for (const double value : {0.0, -0.0, 1e-300, -1e-9, 21.25, 1e15, 1.7e308, -99.995}) {
    for (const int digits : {0, 1, 3, 17}) {
      EXPECT_TRUE(std::regex_match(decimal(value, digits), homie_float)) << value;
    }
  }
}

}  // namespace
}  // namespace wheymark
