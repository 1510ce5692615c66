// The order of events as a hub can tell it from their `sequence`.
#include <gmock/gmock.h>
#include <set>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

class Sequence : public Connected {
 protected:
  // In the order of publication, without those that were sent twice.
  [[nodiscard]] std::vector<std::string> sequences() const {
    std::vector<std::string> found;
    std::set<std::string> seen;
    for (const Published& message : home.broker.published) {
      if (!message.topic.starts_with("wheymark/events/")) continue;
      const auto event = json::parse(message.payload);
      if (seen.insert(event["id"]).second) found.push_back(event["sequence"]);
    }
    return found;
  }
  void one_batch() {
    home.presses("start");
    home.lives_for(10min, 21.0);
    home.presses("strain");
    home.lives_for(10min, 21.0);
    home.presses("store");
    home.lives_for(10min, 21.0);
    home.presses("finish");
  }
};

TEST_F(Sequence, GrowsAsATextDoesAndNeverRepeatsAlsoAfterARestart) {
  home.hears("house/kitchen", "21.0");
  one_batch();
  home.restarts();
  home.connects();
  one_batch();
  const auto all = sequences();
  ASSERT_GE(all.size(), 6U);
  for (std::size_t i = 1; i < all.size(); ++i) EXPECT_LT(all[i - 1], all[i]);
  for (const std::string& sequence : all) EXPECT_EQ(sequence.size(), all.front().size());
}

TEST_F(Sequence, EventsOfOneInstantHaveAnOrderToo) {
  EventSequence sequence;
  const Instant at = morning;
  EXPECT_EQ(sequence.next(at), "0001803888000000");  // the Unix time in milliseconds
  EXPECT_EQ(sequence.next(at), "0001803888000001");
  EXPECT_EQ(sequence.next(at - 1h), "0001803888000002");  // a clock that was set back
}

TEST_F(Sequence, GoesOnInANewStoreFromWhereTheOldOneWas) {
  home.hears("house/kitchen", "21.0");
  one_batch();
  const std::string before = sequences().back();
  home.run_for(1h);
  home.disk.is_replaced();  // everything is forgotten
  home.restarts();
  home.connects();
  one_batch();
  EXPECT_GT(sequences().back(), before);
}

}  // namespace
}  // namespace wheymark::test
