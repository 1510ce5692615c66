// Messages leave the outbox once they are delivered, their numbers are never used again, and
// retained topics are remembered until they are cleared.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <limits>
#include <string>
#include <vector>

#include "core/basis/limits.hpp"
#include "tests/plugin/store/on_disk.hpp"

namespace wheymark {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

class AnOutbox : public OnDisk {
 protected:
  // Commits messages with these payloads; their numbers.
  static std::vector<std::uint64_t> sent(Store& store, const std::vector<std::string>& payloads) {
    std::vector<OutboxMessage> messages;
    for (const std::string& payload : payloads) messages.push_back(message("a/b", payload));
    EXPECT_TRUE(store.commit({}, messages, Durable::at_once));
    std::vector<std::uint64_t> numbers;
    for (const OutboxMessage& one : messages) numbers.push_back(one.delivery);
    return numbers;
  }
  static std::vector<std::string> payloads(Store& store) {
    const auto messages = store.outbox();
    EXPECT_TRUE(messages.ok());
    std::vector<std::string> all;
    for (const OutboxMessage& one : messages.value()) all.push_back(one.payload);
    return all;
  }
};

TEST_F(AnOutbox, HoldsWhatWasCommittedOldestFirstUnderTheNumbersItGave) {
  std::vector<std::uint64_t> numbers;
  {
    auto store = opened();
    numbers = sent(*store, {"one", "two"});
    numbers.push_back(sent(*store, {"three"}).front());
  }

  auto store = opened();
  const auto messages = store->outbox();
  ASSERT_TRUE(messages.ok());
  EXPECT_THAT(payloads(*store), ElementsAre("one", "two", "three"));
  for (std::size_t i = 0; i < 3; ++i) EXPECT_EQ(messages.value()[i].delivery, numbers[i]);
  EXPECT_LT(numbers[0], numbers[1]);
  EXPECT_LT(numbers[1], numbers[2]);
  EXPECT_GT(numbers[0], 0U) << "0 means that there is no delivery";
}

TEST_F(AnOutbox, ForgetsADeliveredParcelAtOnceAndForGood) {
  auto store = opened();
  const auto numbers = sent(*store, {"one", "two", "three"});
  ASSERT_TRUE(store->delivered(numbers[1]));
  EXPECT_THAT(payloads(*store), ElementsAre("one", "three"));

  store.reset();
  EXPECT_THAT(payloads(*opened()), ElementsAre("one", "three"));
}

TEST_F(AnOutbox, NeverGivesANumberTwiceAlsoWhenTheLastParcelHasLeft) {
  std::uint64_t last = 0;
  for (int life = 0; life < 3; ++life) {
    auto store = opened();
    const std::uint64_t number = sent(*store, {"x"}).front();
    EXPECT_GT(number, last);
    last = number;
    ASSERT_TRUE(store->delivered(number));
    ASSERT_TRUE(store->flush());
    EXPECT_THAT(payloads(*store), IsEmpty());
  }
}

TEST_F(AnOutbox, TakesAnUnknownNumberForNoError) {
  auto store = opened();
  sent(*store, {"one"});
  EXPECT_TRUE(store->delivered(4'711));
  EXPECT_TRUE(store->delivered(0));
  EXPECT_TRUE(store->delivered(std::numeric_limits<std::uint64_t>::max()));
  EXPECT_TRUE(store->flush());

  EXPECT_THAT(payloads(*store), ElementsAre("one"));
}

TEST_F(AnOutbox, SurvivesMoreDeliveriesThanMayWait) {
  auto store = opened();
  const auto numbers =
      sent(*store, std::vector<std::string>(limits::deliveries_waiting_max + 10, "x"));
  for (const std::uint64_t number : numbers) ASSERT_TRUE(store->delivered(number));

  EXPECT_THAT(payloads(*store), IsEmpty());
}

TEST_F(AnOutbox, WritesParcelsAtOnceAlsoWhenTheRowsCouldWait) {
  auto store = opened();
  std::vector<OutboxMessage> messages{message("a/b", "one")};
  ASSERT_TRUE(store->commit({reading(1, "kitchen", 20.0)}, messages, Durable::soon));

  EXPECT_GT(messages.front().delivery, 0U);
  EXPECT_THAT(payloads(*store), ElementsAre("one"));
}

class RetainedTopics : public OnDisk {};

TEST_F(RetainedTopics, AreRememberedUntilTheyAreCleared) {
  {
    auto store = opened();
    ASSERT_TRUE(store->remember_retained({"h/b", "h/a", "h/c"}, {}));
    ASSERT_TRUE(store->remember_retained({"h/d", "h/a"}, {"h/b", "h/unknown"}));
  }

  const auto topics = opened()->retained_topics();
  ASSERT_TRUE(topics.ok());
  EXPECT_THAT(topics.value(), ElementsAre("h/a", "h/c", "h/d"));
}

TEST_F(RetainedTopics, AreRatherRememberedThanForgotten) {
  auto store = opened();
  ASSERT_TRUE(store->remember_retained({"h/a"}, {"h/a"}));

  const auto topics = store->retained_topics();
  ASSERT_TRUE(topics.ok());
  EXPECT_THAT(topics.value(), ElementsAre("h/a"));
}

}  // namespace
}  // namespace wheymark
