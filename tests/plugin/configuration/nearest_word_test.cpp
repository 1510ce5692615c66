// Which word did somebody mean?
#include "plugin/configuration/nearest_word.hpp"

#include <gtest/gtest.h>

namespace wheymark {
namespace {

const std::vector<std::string> keys{"topic", "pointer", "unit", "time_zone", "id", "kind"};

TEST(NearestWord, CountsTheEditsOfTheTextbookExamples) {
  EXPECT_EQ(edits_between("kitten", "sitting"), 3U);  // Levenshtein's usual example
  EXPECT_EQ(edits_between("ca", "abc"), 3U);          // optimal string alignment (Damerau: 2)
  EXPECT_EQ(edits_between("ab", "ba"), 1U);
  EXPECT_EQ(edits_between("", "abc"), 3U);
  EXPECT_EQ(edits_between("abc", ""), 3U);
  EXPECT_EQ(edits_between("same", "same"), 0U);
}

TEST(NearestWord, IsSymmetric) {
  const std::string words[] = {"", "a", "topic", "tpoic", "pointer", "printer", "abcabc"};
  for (const auto& a : words) {
    for (const auto& b : words)
      EXPECT_EQ(edits_between(a, b), edits_between(b, a)) << a << " " << b;
  }
}

TEST(NearestWord, FindsTheSlipOfTheKeyboard) {
  EXPECT_EQ(nearest_word("tpoic", keys), "topic");
  EXPECT_EQ(nearest_word("topics", keys), "topic");
  EXPECT_EQ(nearest_word("timezone", keys), "time_zone");
  EXPECT_EQ(nearest_word("Kind", keys), "kind");
}

TEST(NearestWord, FindsNothingInAnotherWord) {
  EXPECT_EQ(nearest_word("humidity", keys), std::nullopt);
  EXPECT_EQ(nearest_word("xy", keys), std::nullopt);
  EXPECT_EQ(nearest_word("", keys), std::nullopt);
  EXPECT_EQ(nearest_word("x", {"y"}), std::nullopt);
  EXPECT_EQ(nearest_word(std::string(100'000, 'x'), keys), std::nullopt);
}

TEST(NearestWord, EndsASentence) {
  EXPECT_EQ(did_you_mean("untit", keys), "; did you mean \"unit\"?");
  EXPECT_EQ(did_you_mean("humidity", keys), "");
}

}  // namespace
}  // namespace wheymark
