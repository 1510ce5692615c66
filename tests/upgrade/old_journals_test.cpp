// The store of every released schema version is opened by today's programs, and what a person said
// is still there. What it should hold is what write_journal.sh says, not what we once answered.
#include <filesystem>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/daemon/process.hpp"

namespace wheymark::test {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using ::testing::AllOf;
using ::testing::HasSubstr;

const std::string here = WHEYMARK_SOURCE_DIR "/tests/upgrade/";

class TheStore : public ::testing::TestWithParam<int> {
 protected:
  void SetUp() override {
    store = folder.path_of("kept.sqlite");
    fs::copy_file(here + "version_" + std::to_string(GetParam()) + ".sqlite", store);
    fs::permissions(store, fs::perms::owner_read | fs::perms::owner_write);
  }

  [[nodiscard]] std::unique_ptr<Process> replay(const std::string& traffic) const {
    return std::make_unique<Process>(
        std::vector<std::string>{WHEYMARKD, "replay", "--config", here + "household.json",
                                 "--store", store},
        std::vector<std::pair<std::string, std::string>>{}, traffic);
  }

  TemporaryFolder folder;
  std::string store;
};

TEST_P(TheStore, OfAnEarlierVersionIsOpenedWithEverythingThatWasSaid) {
  std::string traffic = R"({"at":"2027-03-02T10:00:00Z"})"
                        "\n";
  // All but the one that was taken back.
  const std::vector<std::string> refs{"start-1", "ph-1", "strain-1", "store-1", "start-2"};
  for (const std::string& ref : refs) {
    const json fact{{"fact", "start"}, {"jar", "blue"}, {"ref", ref}};
    traffic +=
        json{{"at", "2027-03-02T10:00:00Z"}, {"topic", "wheymark/say"}, {"payload", fact.dump()}}
            .dump() +
        "\n";
  }
  const auto running = replay(traffic);
  ASSERT_EQ(running->exit_status(), 0) << running->err();

  std::map<std::string, std::string> last;
  std::size_t known_refs = 0;
  std::istringstream lines(running->out());
  for (std::string line; std::getline(lines, line);) {
    const json message = json::parse(line);
    const std::string payload = message["payload"];
    last[message["topic"]] = payload;
    if (message["topic"] == "wheymark/answer" &&
        payload.find("was said before") != std::string::npos) {
      ++known_refs;
    }
  }
  EXPECT_EQ(known_refs, refs.size()) << running->out();
  EXPECT_EQ(last["homie/5/jar-blue/batch/stage"], "working");
  EXPECT_EQ(last["homie/5/jar-blue/batch/started"], "2027-03-02T05:10:00Z");
  EXPECT_EQ(last["homie/5/jar-bottle/batch/stage"], "fridge");
  EXPECT_EQ(last["homie/5/jar-bottle/batch/started"], "2027-03-01T09:01:00Z");
  EXPECT_EQ(last["homie/5/jar-bottle/fridge/stored"], "2027-03-02T05:05:00Z");
  // What was announced then is not announced again.
  EXPECT_FALSE(last.contains("wheymark/events/jar-blue/strained"));
  EXPECT_FALSE(last.contains("wheymark/events/jar-blue/batch-started"));
}

TEST_P(TheStore, OfALaterVersionIsRefusedWithASentenceAndNotTouched) {
  // The version stands at byte 60 of a SQLite file, most significant byte first.
  std::string bytes = text_of_file(store);
  ASSERT_EQ(bytes.substr(0, 15), "SQLite format 3");
  ASSERT_EQ(bytes[63], static_cast<char>(GetParam()));
  bytes[63] = 99;
  folder.file("kept.sqlite", bytes);

  const auto running = replay(R"({"at":"2027-03-02T10:00:00Z"})");
  EXPECT_EQ(running->exit_status(), 1);
  EXPECT_THAT(running->err(),
              AllOf(HasSubstr(store), HasSubstr("version 99"), HasSubstr("newer program")));
  EXPECT_TRUE(text_of_file(store) == bytes);
}

// Every schema version that was ever released.
INSTANTIATE_TEST_SUITE_P(Released, TheStore, ::testing::Values(1), [](const auto& version) {
  return "Version" + std::to_string(version.param);
});

}  // namespace
}  // namespace wheymark::test
