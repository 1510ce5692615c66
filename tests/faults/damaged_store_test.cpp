// A byte of the store has flipped while the daemon was not running: the household goes on.
#include <filesystem>
#include <fstream>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "tests/faults/plugin.hpp"
#include "tests/faults/world.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::faults {
namespace {

using testing::Contains;
using testing::HasSubstr;

constexpr std::int64_t morning_ms = 1'803'888'000'000;

class ADamagedStore : public testing::Test {
 protected:
  [[nodiscard]] std::unique_ptr<Plugin> opened() {
    HostCalls calls;
    calls.publish = [this](Message m) {
      listener.hears(m);
      return true;
    };
    calls.subscribe = [](const std::string&) {};
    calls.log = [this](wheymark_level level, std::string line) {
      if (level <= WHEYMARK_WARNING) log.push_back(std::move(line));
    };
    return std::make_unique<Plugin>(std::move(calls), household, store);
  }
  void lives_a_little() {
    const auto plugin = opened();
    ASSERT_TRUE(plugin->opened());
    plugin->connected(morning_ms);
    plugin->hears("wheymark/say", R"({"fact":"start","jar":"blue","ref":"a"})", false, morning_ms);
    plugin->stop(morning_ms);
  }
  void flip_a_byte_in_the_middle_of_a_fact() {
    std::fstream file(store, std::ios::binary | std::ios::in | std::ios::out);
    std::string bytes{std::istreambuf_iterator<char>(file), {}};
    const auto at = bytes.find("cow-whole");
    ASSERT_NE(at, std::string::npos);
    file.seekp(static_cast<std::streamoff>(at));
    file.put('C');
  }

  test::TemporaryFolder folder;
  std::string store = folder.path() + "/wheymark.db";
  Listener listener;
  std::vector<std::string> log;
};

TEST_F(ADamagedStore, IsSetAsideAndToldAndAnEmptyOneTakesItsPlaceAtOnce) {
  lives_a_little();
  flip_a_byte_in_the_middle_of_a_fact();
  const auto plugin = opened();
  ASSERT_TRUE(plugin->opened()) << "a daemon that stays away helps nobody";
  EXPECT_THAT(log, Contains(HasSubstr("was set aside as " + store + ".damaged-1")));
  EXPECT_TRUE(std::filesystem::exists(store + ".damaged-1"));

  plugin->connected(morning_ms + 1000);
  plugin->hears("wheymark/say", R"({"fact":"start","jar":"blue","ref":"b"})", false,
                morning_ms + 1000);
  EXPECT_TRUE(listener.accepted.contains("b"));
  EXPECT_EQ(listener.events.size(), 2U) << "ids of two stores are never the same";
}

}  // namespace
}  // namespace wheymark::faults
