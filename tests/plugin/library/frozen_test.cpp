// A mistake of our own freezes one instance at the C boundary; the host closes it, opens another
// from the same store, and nothing that was accepted is missing.
#include <gtest/gtest.h>

#include "tests/plugin/library/home.hpp"
#include "tests/vocabulary/temporary_folder.hpp"

namespace wheymark::test {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

class Frozen : public ::testing::Test {
 protected:
  void SetUp() override { configuration_["store"] = "test.db"; }

  wheymark_instance* open() {
    const std::string text = configuration_.dump();
    const std::string folder = folder_.path();
    wheymark_settings settings{};
    settings.struct_size = sizeof settings;
    settings.configuration = text_of(text);
    settings.directory = text_of(folder);
    wheymark_instance* made = nullptr;
    EXPECT_EQ(plugin_.open(&broker_.table, &settings, &made), WHEYMARK_OK);
    return made;
  }
  wheymark_status hears(wheymark_instance* instance, const std::string& topic,
                        const std::string& payload) {
    wheymark_message message{};
    message.struct_size = sizeof message;
    message.topic = text_of(topic);
    message.payload = text_of(payload);
    return plugin_.message(instance, &message, now_ms_);
  }

  const wheymark_plugin& plugin_ = *wheymark_plugin_v1();
  const std::int64_t now_ms_ = morning.time_since_epoch().count();
  TemporaryFolder folder_;  // of its own: two runs may be at it at once
  json configuration_ = small_configuration();
  RecordingHost broker_;
};

TEST_F(Frozen, AnInstanceDoesNothingMoreAndAnotherGoesOnFromTheStore) {
  wheymark_instance* instance = open();
  ASSERT_NE(instance, nullptr);
  ASSERT_EQ(plugin_.connected(instance, now_ms_), WHEYMARK_OK);
  ASSERT_EQ(hears(instance, "wheymark/say", R"({"fact":"start","jar":"blue"})"), WHEYMARK_OK);
  ASSERT_EQ(broker_.retained["homie/5/jar-blue/batch/stage"], "working");

  broker_.before_publishing = [] { throw BrokenCheck("a broker of the tests"); };
  EXPECT_EQ(hears(instance, "wheymark/say", R"({"fact":"start","jar":"red"})"), WHEYMARK_FROZEN);
  EXPECT_THAT(broker_.log, Contains(HasSubstr("does not hold")));
  broker_.before_publishing = [] {};
  const std::size_t published = broker_.published.size();
  EXPECT_EQ(hears(instance, "wheymark/say", R"({"fact":"discard","jar":"blue"})"), WHEYMARK_FROZEN);
  EXPECT_EQ(plugin_.tick(instance, now_ms_ + 1'000'000'000), WHEYMARK_FROZEN);
  EXPECT_EQ(plugin_.connected(instance, now_ms_), WHEYMARK_FROZEN);
  EXPECT_EQ(plugin_.stop(instance, now_ms_), WHEYMARK_FROZEN);
  EXPECT_EQ(plugin_.next_tick_ms(instance), INT64_MAX);
  EXPECT_EQ(broker_.published.size(), published) << "a frozen instance claims nothing";
  plugin_.close(instance);

  broker_.retained.clear();
  wheymark_instance* again = open();
  ASSERT_NE(again, nullptr);
  EXPECT_EQ(plugin_.connected(again, now_ms_), WHEYMARK_OK);
  EXPECT_EQ(broker_.retained["homie/5/jar-blue/batch/stage"], "working");
  // Kept before the mistake, so it counts; its answer waited in the outbox.
  EXPECT_EQ(broker_.retained["homie/5/jar-red/batch/stage"], "working");
  plugin_.close(again);
}

TEST_F(Frozen, ANullInstanceIsRefused) {
  EXPECT_EQ(plugin_.tick(nullptr, now_ms_), WHEYMARK_REFUSED);
  EXPECT_EQ(plugin_.next_tick_ms(nullptr), INT64_MAX);
  plugin_.close(nullptr);
}

TEST_F(Frozen, TwoInstancesOfOneStoreAreRefused) {
  wheymark_instance* first = open();
  const std::string text = configuration_.dump();
  const std::string folder = folder_.path();
  wheymark_settings settings{};
  settings.struct_size = sizeof settings;
  settings.configuration = text_of(text);
  settings.directory = text_of(folder);
  wheymark_instance* second = nullptr;
  EXPECT_EQ(plugin_.open(&broker_.table, &settings, &second), WHEYMARK_REFUSED);
  EXPECT_EQ(second, nullptr);
  plugin_.close(first);
}

}  // namespace
}  // namespace wheymark::test
