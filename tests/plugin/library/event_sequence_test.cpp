// The order of events as a hub can tell it from their `sequence`.
#include <gmock/gmock.h>

#include "tests/daemon/temporary_folder.hpp"
#include "tests/plugin/library/hub.hpp"

namespace wheymark::test {
namespace {

class Sequence : public OnAHub {
 protected:
  // In the order of publication, without those that were sent twice.
  [[nodiscard]] std::vector<std::string> sequences() const {
    std::vector<std::string> found;
    std::set<std::string> seen;
    for (const Published& message : hub.published) {
      if (!message.topic.starts_with("wheymark/events/")) continue;
      const auto event = nlohmann::json::parse(message.payload);
      if (seen.insert(event["id"]).second) found.push_back(event["sequence"]);
    }
    return found;
  }
  void one_batch() {
    press("start");
    pass(10min, 21.0);
    press("strain");
    pass(10min, 21.0);
    press("store");
    pass(10min, 21.0);
    press("finish");
  }
  TemporaryFolder folder;
};

TEST_F(Sequence, GrowsAsATextDoesAndNeverRepeatsAlsoAfterARestart) {
  store_file = folder.path_of("wheymark.db");
  start_anew();
  say("house/kitchen", "21.0");
  one_batch();
  start_anew();
  one_batch();
  const auto all = sequences();
  ASSERT_GE(all.size(), 6U);
  for (std::size_t i = 1; i < all.size(); ++i) EXPECT_LT(all[i - 1], all[i]);
  for (const std::string& sequence : all) EXPECT_EQ(sequence.size(), all.front().size());
}

TEST_F(Sequence, EventsOfOneInstantHaveAnOrderToo) {
  EventSequence sequence;
  const Instant at = instant("2027-03-01T08:00:00Z");
  EXPECT_EQ(sequence.next(at), "0001803888000000");  // the Unix time in milliseconds
  EXPECT_EQ(sequence.next(at), "0001803888000001");
  EXPECT_EQ(sequence.next(at - 1h), "0001803888000002");  // a clock that was set back
}

TEST_F(Sequence, GoesOnInANewStoreFromWhereTheOldOneWas) {
  start_anew();
  say("house/kitchen", "21.0");
  one_batch();
  const std::string before = sequences().back();
  pass(1h);
  start_anew();  // ":memory:": everything is forgotten
  one_batch();
  EXPECT_GT(sequences().back(), before);
}

}  // namespace
}  // namespace wheymark::test
