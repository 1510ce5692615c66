// A person's own messages to their hub: retained as long as the device is there.
#include <gmock/gmock.h>

#include "tests/daemon/temporary_folder.hpp"
#include "tests/plugin/library/hub.hpp"

namespace wheymark::test {
namespace {

class Introductions : public OnAHub {
 protected:
  void SetUp() override { store_file = folder.path_of("wheymark.db"); }
  static nlohmann::json announcing(const std::string& topic) {
    return {
        {"announce", {{{"each", "jar"}, {"topic", topic}, {"payload", {{"n", "{jar.name}"}}}}}}};
  }
  TemporaryFolder folder;
};

TEST_F(Introductions, AreRetainedAndGoWithTheJar) {
  start_anew(configuration(announcing("hub/{jar.id}/config")));
  EXPECT_EQ(hub.retained["hub/blue/config"], R"({"n":"Blue jar"})");
  EXPECT_EQ(hub.retained["hub/swing/config"], R"({"n":"Swing-top"})");

  nlohmann::json changes = announcing("hub/{jar.id}/config");
  changes["jars"] = nlohmann::json::parse(two_jars)["jars"];
  changes["jars"].erase(1);
  start_anew(configuration(changes));
  EXPECT_TRUE(hub.retained.contains("hub/blue/config"));
  EXPECT_FALSE(hub.retained.contains("hub/swing/config"));
}

TEST_F(Introductions, OfAnotherTemplateReplaceTheOldOnes) {
  start_anew(configuration(announcing("hub/{jar.id}/config")));
  start_anew(configuration(announcing("other/{device.id}")));
  EXPECT_THAT(hub.retained_below("hub/"), ::testing::IsEmpty());
  EXPECT_THAT(hub.retained_below("other/"), ::testing::SizeIs(2));
}

}  // namespace
}  // namespace wheymark::test
