#include "plugin/daemon/inbox.hpp"

#include <atomic>
#include <chrono>
#include <gtest/gtest.h>
#include <string>
#include <thread>
#include <vector>

namespace wheymark {
namespace {

using std::chrono::milliseconds;

Arrived message(std::string topic, std::uint8_t qos) {
  return {std::move(topic), "x", qos, false, nullptr};
}

std::vector<std::string> topics_in(Inbox& inbox) {
  std::vector<std::string> topics;
  while (std::optional<Arrival> next = inbox.take(milliseconds(0))) {
    if (const auto* arrived = std::get_if<Arrived>(&*next)) topics.push_back(arrived->topic);
  }
  return topics;
}

TEST(Inbox, GivesBackInTheOrderInWhichThingsHappened) {
  Inbox inbox;
  inbox.put(message("a", 0));
  inbox.put(message("b", 1));
  inbox.put(message("c", 0));

  EXPECT_EQ(topics_in(inbox), (std::vector<std::string>{"a", "b", "c"}));
  EXPECT_EQ(inbox.dropped(), 0u);
}

TEST(Inbox, WhenFullLosesTheOldestThatMayBeLostAndCountsThem) {
  Inbox inbox;
  inbox.put(message("say", 1));
  for (std::size_t i = 1; i < Inbox::messages_max; ++i) inbox.put(message(std::to_string(i), 0));
  inbox.put(message("another say", 1));
  inbox.put(message("newest", 0));

  const std::vector<std::string> left = topics_in(inbox);
  ASSERT_EQ(left.size(), Inbox::messages_max);
  EXPECT_EQ(left.front(), "say");
  EXPECT_EQ(left[1], "3");  // 1 and 2 had to go
  EXPECT_EQ(left.back(), "newest");
  EXPECT_EQ(inbox.dropped(), 2u);
  EXPECT_EQ(inbox.dropped(), 0u);
}

// The broker is told that it has come only then.
TEST(Inbox, HoldsWhoWaitsUntilTheMessageIsHandled) {
  Inbox inbox;
  std::atomic<bool> returned = false;
  std::thread paho([&] {
    inbox.put_and_wait(message("say", 1));
    returned = true;
  });
  std::optional<Arrival> taken = inbox.take(milliseconds(1000));
  ASSERT_TRUE(taken.has_value());
  std::this_thread::sleep_for(milliseconds(50));
  EXPECT_FALSE(returned);
  std::get<Arrived>(*taken).handling->is_done();
  paho.join();
  EXPECT_TRUE(returned);
}

TEST(Inbox, HoldsNobodyOnceTheConnectionIsOver) {
  Inbox inbox;
  std::thread paho([&] { inbox.put_and_wait(message("say", 1)); });
  ASSERT_TRUE(inbox.take(milliseconds(1000)).has_value());
  inbox.let_senders_wait(false);
  const auto before = std::chrono::steady_clock::now();
  paho.join();
  inbox.put_and_wait(message("another", 1));
  EXPECT_LT(std::chrono::steady_clock::now() - before, Inbox::handled_within / 2);
}

TEST(Inbox, NeverLosesAnAcknowledgement) {
  Inbox inbox;
  inbox.put(Finished{7, true, {}});
  for (std::size_t i = 0; i <= Inbox::messages_max; ++i) inbox.put(message("say", 1));  // one waits

  const std::optional<Arrival> first = inbox.take(milliseconds(0));
  ASSERT_TRUE(first.has_value());
  ASSERT_TRUE(std::holds_alternative<Finished>(*first));
  EXPECT_EQ(std::get<Finished>(*first).serial, 7u);
  EXPECT_EQ(topics_in(inbox).size(), Inbox::messages_max);
}

TEST(Inbox, LetsAMessageThatMustNotBeLostWaitForTheWorker) {
  Inbox inbox;
  constexpr std::size_t count = 3 * Inbox::messages_max;
  std::thread broker([&inbox] {
    for (std::size_t i = 0; i < count; ++i) inbox.put(message(std::to_string(i), 1));
  });
  for (std::size_t i = 0; i < count; ++i) {
    const std::optional<Arrival> next = inbox.take(milliseconds(10'000));
    ASSERT_TRUE(next.has_value());
    ASSERT_EQ(std::get<Arrived>(*next).topic, std::to_string(i));
  }
  broker.join();
  EXPECT_EQ(inbox.dropped(), 0u);
}

TEST(Inbox, HoldsABoundedNumberOfBytes) {
  Inbox inbox;
  const std::string megabyte(1024 * 1024, 'x');
  for (int i = 0; i < 100; ++i) inbox.put(Arrived{"big", megabyte, 0, false});

  EXPECT_LE(topics_in(inbox).size() * megabyte.size(), Inbox::bytes_max);
  EXPECT_GT(inbox.dropped(), 0u);
}

TEST(Inbox, KeepsItsOrderAndItsLimitThroughALongFlood) {
  Inbox inbox;
  inbox.put(message("say", 1));
  for (std::size_t i = 1; i <= 5 * Inbox::messages_max; ++i) {
    inbox.put(message(std::to_string(i), 0));
    if (i == 2 * Inbox::messages_max) inbox.put(Finished{7, true, {}});
  }

  std::vector<std::string> expected{"say"};
  for (std::size_t i = 4 * Inbox::messages_max + 2; i <= 5 * Inbox::messages_max; ++i) {
    expected.push_back(std::to_string(i));
  }
  EXPECT_EQ(topics_in(inbox), expected);
  EXPECT_EQ(inbox.dropped(), 4 * Inbox::messages_max + 1);
}

}  // namespace
}  // namespace wheymark
