// Text from outside either becomes a harmless document or is refused with a sentence.
#include "plugin/wire/json_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

std::string why_not(std::string_view text, Comments comments = Comments::refused) {
  const auto read = parsed(text, comments);
  return read ? "accepted: " + text_of(read.value()) : read.why();
}

std::string nested(std::size_t levels) {
  return std::string(levels, '[') + std::string(levels, ']');
}

TEST(JsonText, ReadsADocumentAsItStands) {
  const auto read = parsed(R"( {"a":[1,2.5,"x"],"b":{"c":null,"d":true}} )", Comments::refused);

  ASSERT_TRUE(read.ok());
  EXPECT_EQ(read.value().at("a").at(1), 2.5);
  EXPECT_EQ(read.value().at("b").at("d"), true);
  EXPECT_TRUE(read.value().at("b").at("c").is_null());
}

TEST(JsonText, AllowsCommentsOnlyWhereAPersonWrites) {
  constexpr auto commented = "{ // why\n \"a\": /* what */ 1 }";

  EXPECT_TRUE(parsed(commented, Comments::allowed).ok());
  EXPECT_THAT(why_not(commented), HasSubstr("line 1, column 3"));
}

TEST(JsonText, NamesTheLineAndTheColumnOfASyntaxError) {
  EXPECT_THAT(why_not("{\n  \"a\": 1,\n  \"b\": ]\n}"),
              AllOf(HasSubstr("line 3, column 8"), HasSubstr("unexpected ']'")));
  EXPECT_THAT(why_not("[1,"), HasSubstr("line 1, column 4"));
  EXPECT_THAT(why_not("[1] 2"), HasSubstr("line 1, column 5"));
  EXPECT_THAT(why_not("{\"a\":1}{\"b\":2}"), HasSubstr("line 1, column 8"));
}

TEST(JsonText, NeverRepeatsTheTextAroundASyntaxErrorBecauseItMayBeASecret) {
  EXPECT_THAT(why_not("{\"user\": \"me\" \"s3cret\"}"), Not(HasSubstr("s3cret")));
  EXPECT_THAT(why_not("{\"user\": \"s3cret\n\"}"), Not(HasSubstr("s3cret")));
}

TEST(JsonText, RefusesEmptyText) {
  EXPECT_THAT(why_not(""), HasSubstr("empty"));
  EXPECT_THAT(why_not(" \r\n\t"), HasSubstr("empty"));
}

TEST(JsonText, RefusesANulByteWhichWouldOtherwiseEndTheTextUnseen) {
  using namespace std::string_view_literals;
  EXPECT_THAT(why_not("21.5\0"sv), HasSubstr("NUL byte at byte 5"));
  EXPECT_THAT(why_not("{\"a\":1}\0garbage"sv, Comments::allowed), HasSubstr("NUL byte at byte 8"));
}

TEST(JsonText, RefusesNestingDeeperThanTheLimitAndTakesTheLimitItself) {
  EXPECT_TRUE(parsed(nested(limits::json_depth_max), Comments::refused).ok());
  EXPECT_THAT(why_not(nested(limits::json_depth_max + 1)), HasSubstr("nested deeper than 16"));
  EXPECT_THAT(why_not(nested(8'000)), HasSubstr("nested deeper"));
  EXPECT_THAT(why_not(std::string(2'000'000, '['), Comments::allowed), HasSubstr("nested deeper"));
}

TEST(JsonText, RefusesTextBeyondTheLimitOfItsKind) {
  std::string long_text(limits::payload_bytes_max, ' ');
  long_text += "[1]";

  EXPECT_THAT(why_not(long_text), HasSubstr("allowed: at most 16384"));
  EXPECT_TRUE(parsed(long_text, Comments::allowed).ok());
  EXPECT_THAT(why_not(std::string(limits::configuration_bytes_max + 1, ' '), Comments::allowed),
              HasSubstr("allowed: at most 16777216"));
}

TEST(JsonText, RefusesAKeyThatStandsTwiceAndSaysWhere) {
  EXPECT_THAT(why_not(R"({"a":1,"b":2,"a":3})"),
              AllOf(HasSubstr("\"a\" stands twice"), HasSubstr("outermost")));
  EXPECT_THAT(why_not(R"({"jars":[{"id":"x"},{"id":"y","at/home":{"t":1,"t":2}}]})"),
              AllOf(HasSubstr("\"t\" stands twice"), HasSubstr("/jars/1/at~1home")));
  EXPECT_TRUE(parsed(R"([{"a":1},{"a":2},{"b":{"a":1},"a":3}])", Comments::refused).ok());
}

TEST(JsonText, RefusesTextThatIsNotUtf8) {
  EXPECT_THAT(why_not("[\"\xff\xfe\"]"), AllOf(HasSubstr("line 1, column 3"), HasSubstr("UTF-8")));
  EXPECT_THAT(why_not("[\"\xc3\"]"), HasSubstr("UTF-8"));
  EXPECT_THAT(why_not("[\"\xed\xa0\x80\"]"), HasSubstr("UTF-8"));  // a surrogate
  EXPECT_THAT(why_not(R"(["\ud800"])"), HasSubstr("not JSON"));
  EXPECT_THAT(why_not("\xff"), HasSubstr("not JSON"));
}

TEST(JsonText, RefusesNumbersThatNoDoubleHoldsAndWordsThatAreNoNumbers) {
  EXPECT_THAT(why_not("[1e400]"), HasSubstr("too large"));
  for (const auto* text : {"NaN", "[Infinity]", "[-Infinity]", "[+1]", "[01]", "[.5]", "[1.]"}) {
    EXPECT_THAT(why_not(text), HasSubstr("not JSON")) << text;
  }
}

TEST(JsonText, WritesBytesThatAreNotUtf8AsReplacementCharacters) {
  EXPECT_EQ(text_of(json(std::string("a\xff"
                                     "b"))),
            "\"a\xEF\xBF\xBD"
            "b\"");
}

TEST(JsonText, ShowsWhatWasFoundInShort) {
  EXPECT_EQ(shown(json::parse("[1,2]")), "an array");
  EXPECT_EQ(shown(json::parse("{}")), "an object");
  EXPECT_EQ(shown(json(21.5)), "21.5");
  EXPECT_EQ(shown(json(nullptr)), "null");
  EXPECT_EQ(shown(json("blue \"jar\"\n")), R"("blue \"jar\"\n")");
  EXPECT_LT(shown(json(std::string(5'000, 'x'))).size(), 80U);
  // Cut between characters, never within one.
  const std::string of_umlauts = [] {
    std::string text = "x";
    for (int i = 0; i < 100; ++i) text += "\xc3\xa4";
    return text;
  }();
  EXPECT_THAT(shown(json(of_umlauts)), Not(HasSubstr("\xEF\xBF\xBD")));
}

TEST(JsonText, EscapesAKeyForAPointerAsRfc6901Says) {
  // RFC 6901, section 5: the pointers to "a/b" and "m~n".
  EXPECT_EQ(pointer_token("a/b"), "a~1b");
  EXPECT_EQ(pointer_token("m~n"), "m~0n");
  EXPECT_EQ(json::json_pointer(std::string("/").append(pointer_token("~1/~0"))).back(), "~1/~0");
}

}  // namespace
}  // namespace wheymark
