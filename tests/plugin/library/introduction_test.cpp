// A person's own messages to their hub: retained as long as the device is there.
#include <gmock/gmock.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

class Introductions : public Connected {
 protected:
  static json announcing(const std::string& topic) {
    return {
        {"announce", {{{"each", "jar"}, {"topic", topic}, {"payload", {{"n", "{jar.name}"}}}}}}};
  }
  void goes_on_with(const json& changes) {
    home.restarts_with(small_configuration(changes));
    home.connects();
  }
};

TEST_F(Introductions, AreRetainedAndGoWithTheJar) {
  goes_on_with(announcing("hub/{jar.id}/config"));
  EXPECT_EQ(home.broker.retained["hub/blue/config"], R"({"n":"Blue jar"})");
  EXPECT_EQ(home.broker.retained["hub/red/config"], R"({"n":"Red jar"})");

  json changes = announcing("hub/{jar.id}/config");
  changes["jars"] = small_configuration()["jars"];
  changes["jars"].erase(1);
  goes_on_with(changes);
  EXPECT_TRUE(home.broker.retained.contains("hub/blue/config"));
  EXPECT_FALSE(home.broker.retained.contains("hub/red/config"));
}

TEST_F(Introductions, OfAnotherTemplateReplaceTheOldOnes) {
  goes_on_with(announcing("hub/{jar.id}/config"));
  goes_on_with(announcing("other/{device.id}"));
  EXPECT_THAT(home.broker.retained_below("hub/"), ::testing::IsEmpty());
  EXPECT_THAT(home.broker.retained_below("other/"), ::testing::SizeIs(3));
}

}  // namespace
}  // namespace wheymark::test
