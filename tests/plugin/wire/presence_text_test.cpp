// Is it understood whether somebody is at home, and is nonsense refused with what was found?
#include "plugin/wire/presence_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

TEST(PresenceText, OfAPlainTopicIsItsWord) {
  const PresenceSetup presence{"house/people", std::nullopt, "home"};
  EXPECT_TRUE(somebody_home_from(" home\n", presence).value());
  EXPECT_FALSE(somebody_home_from("not_home", presence).value());
}

TEST(PresenceText, OfJsonIsTheValueAtThePointer) {
  const PresenceSetup presence{"house/people", "/home", "true"};
  EXPECT_TRUE(somebody_home_from(R"({"home":true})", presence).value());
  EXPECT_TRUE(somebody_home_from(R"({"home":"true"})", presence).value());
  EXPECT_FALSE(somebody_home_from(R"({"home":0})", presence).value());
}

TEST(PresenceText, OfNonsenseIsRefusedWithWhatWasFoundAndWhatIsAllowed) {
  const PresenceSetup presence{"house/people", "/home", "true"};
  for (const char* nonsense : {"", "{", "{}", R"({"home":null})", R"({"home":[true]})"}) {
    const auto home = somebody_home_from(nonsense, presence);
    ASSERT_FALSE(home.ok()) << nonsense;
    EXPECT_THAT(home.why(), HasSubstr("house/people: found "));
    EXPECT_THAT(home.why(), HasSubstr("allowed: "));
  }
}

}  // namespace
}  // namespace wheymark::test
