// What people know from before, usual batches and whole ones, as they say it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>
#include <vector>

#include "plugin/wire/fact_json.hpp"

namespace wheymark {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::StartsWith;

Result<Report> read_from(std::string_view text) {
  return report_from(nlohmann::json::parse(text), std::nullopt);
}

TEST(BeforeJson, WhatIsUsualMayLeaveOutAllButTheHours) {
  const auto said = read_from(
      R"({"fact":"usual","culture":"c","usual":[{"hours":22,"air_c":21,"milk_c":5},{"hours":30}]})");
  ASSERT_TRUE(said.ok()) << said.why();
  EXPECT_EQ(std::get<Usual>(said.value().fact).usual,
            (std::vector<UsualBatch>{{22.0, 21.0, {}, {}, 5.0}, {30.0}}));
}

TEST(BeforeJson, WhatIsWrongIsRefusedInOneSentenceWithWhatIsAllowed) {
  struct Wrong {
    const char* text;
    const char* begins;
    const char* holds;
  };
  const Wrong table[] = {
      {R"({"fact":"usual","culture":"c"})", "usual: found nothing", "required"},
      {R"({"fact":"usual","usual":[{"hours":22}]})", "culture: found nothing", "required"},
      {R"({"fact":"usual","culture":"c","usual":[]})", "usual: found an array", "1 to 8 batches"},
      {R"({"fact":"usual","culture":"c","usual":22})", "usual: found 22", "1 to 8 batches"},
      {R"({"fact":"usual","culture":"c","usual":[22]})", "usual/0: found 22", "an object"},
      {R"({"fact":"usual","culture":"c","usual":[{"air_c":21}]})", "usual/0/hours: found nothing",
       "required"},
      {R"({"fact":"usual","culture":"c","usual":[{"hours":22},{"hours":"a day"}]})",
       "usual/1/hours: found \"a day\"", "a number"},
      {R"({"fact":"usual","culture":"c","usual":[{"hours":22,"room":21}]})",
       "usual/0/room: found the key", "hours, air_c, grain_g, milk_ml, milk_c"},
      {R"({"fact":"remember","jar":"b","strained":"2027-03-02T07:00:00Z"})",
       "started: found nothing", "required"},
      {R"({"fact":"remember","jar":"b","started":"2027-03-01","strained":"2027-03-02T07:00:00Z"})",
       "started: found \"2027-03-01\"", "RFC 3339"},
  };
  for (const auto& wrong : table) {
    const auto said = read_from(wrong.text);
    ASSERT_FALSE(said.ok()) << wrong.text;
    EXPECT_THAT(said.why(), AllOf(StartsWith(wrong.begins), HasSubstr(wrong.holds))) << wrong.text;
  }
}

}  // namespace
}  // namespace wheymark
