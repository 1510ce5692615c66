// Readings that come late, in any order, twice or in bursts are as good as those that came in time.
#include <algorithm>
#include <cmath>
#include <gtest/gtest.h>
#include <random>

#include "tests/plugin/library/devices.hpp"

namespace wheymark::test {
namespace {

using ::testing::IsEmpty;
using ::testing::Not;

struct Measured {
  Instant at;
  double air_c;
};

// A day's swing of the kitchen, every minute or so.
std::vector<Measured> swing(Instant from, Milliseconds time, Milliseconds every) {
  std::vector<Measured> all;
  for (Instant at = from; at < from + time; at += every) {
    const double h = hours_between(morning, at);
    all.push_back({at, std::round(10.0 * (21.0 + 2.5 * std::sin(h / 3.0))) / 10.0});
  }
  return all;
}

void send(Home& home, const Measured& measured) {
  home.hears("house/kitchen", json{{"t", measured.air_c}, {"at", rfc3339(measured.at)}}.dump());
}

// What is retained of the household, without pictures, and without the last answer, which is not
// remembered.
std::map<std::string, std::string> shown(const Home& home) {
  std::map<std::string, std::string> all = home.broker.retained;
  std::erase_if(all, [](const auto& state) {
    return !state.first.starts_with("homie/5/") || state.first.ends_with("/care/answer");
  });
  return all;
}

// The topics on which two differ, with both values.
std::vector<std::string> differing(const std::map<std::string, std::string>& a,
                                   const std::map<std::string, std::string>& b) {
  std::vector<std::string> all;
  for (const auto& [topic, text] : a) {
    const auto other = b.find(topic);
    const std::string theirs = other == b.end() ? "nothing" : other->second;
    if (text != theirs) all.push_back(topic + ": " + text + " / " + theirs);
  }
  for (const auto& [topic, text] : b) {
    if (!a.contains(topic)) all.push_back(topic + ": nothing / " + text);
  }
  return all;
}

class Backlogs : public ::testing::Test {
 protected:
  // A batch, two hours of readings, a gap of eight hours that is delivered at its end in some
  // order, and another hour.
  using Order = std::function<void(std::vector<Measured>&)>;
  static std::unique_ptr<Home> after_a_gap(const Order& order) {
    auto home = std::make_unique<Home>(kitchen_with(timed));
    home->connects();
    send(*home, {home->now(), 21.0});
    home->says({{"fact", "start"}, {"jar", "blue"}});
    for (const Measured& measured : swing(home->now() + 5min, 2h, 5min)) {
      home->run_until(measured.at);
      send(*home, measured);
    }
    std::vector<Measured> missed = swing(home->now() + 5min, 8h, 5min);
    home->run_until(missed.back().at + 2min);
    order(missed);
    for (const Measured& measured : missed) send(*home, measured);
    for (const Measured& measured : swing(home->now() + 3min, 1h, 5min)) {
      home->run_until(measured.at);
      send(*home, measured);
    }
    home->run_for(1min);
    return home;
  }
  static std::unique_ptr<Home> in_order() {
    return after_a_gap([](std::vector<Measured>&) {});
  }
};

TEST_F(Backlogs, InOrderAreUsed) {
  EXPECT_THAT(in_order()->state("jar-blue/batch/peak-opens"), Not(IsEmpty()));
}

TEST_F(Backlogs, ShuffledGiveTheSameStateAsInOrder) {
  const auto home = after_a_gap([](std::vector<Measured>& missed) {
    std::mt19937 dice(7);
    for (std::size_t i = missed.size() - 1; i > 0; --i) std::swap(missed[i], missed[dice() % i]);
  });
  EXPECT_THAT(differing(shown(*home), shown(*in_order())), IsEmpty());
}

TEST_F(Backlogs, NewestFirstGiveTheSameStateAsInOrder) {
  const auto home = after_a_gap(
      [](std::vector<Measured>& missed) { std::reverse(missed.begin(), missed.end()); });
  EXPECT_THAT(differing(shown(*home), shown(*in_order())), IsEmpty());
}

TEST_F(Backlogs, AfterALiveReadingGiveTheSameStateAsInOrder) {
  const auto home = after_a_gap([](std::vector<Measured>& missed) {
    std::rotate(missed.begin(), std::prev(missed.end()), missed.end());
  });
  EXPECT_THAT(differing(shown(*home), shown(*in_order())), IsEmpty());
}

TEST_F(Backlogs, AreTheSameToTheBitAfterARestart) {
  const auto home = after_a_gap(
      [](std::vector<Measured>& missed) { std::reverse(missed.begin(), missed.end()); });
  home->disconnects();
  home->connects();  // what is shown may be minutes old
  const auto before = shown(*home);
  home->restarts();
  home->connects();
  EXPECT_THAT(differing(shown(*home), before), IsEmpty());
}

TEST_F(Backlogs, SentTwiceCountOnceAndSayNothing) {
  const auto home = after_a_gap([](std::vector<Measured>& missed) {
    const std::vector<Measured> once = missed;
    missed.insert(missed.end(), once.begin(), once.end());
  });
  EXPECT_THAT(differing(shown(*home), shown(*in_order())), IsEmpty());
  EXPECT_LE(log_of(*home, "kitchen").size(), 3U);
}

// A gateway that keeps messages without their instants sends them when it is back: the last is the
// newest, and nobody knows how old it is.
TEST_F(Backlogs, WithoutInstantsCountByTheirLastWithDoubt) {
  const auto peak_width_h = [](bool burst) {
    Home home;
    home.connects();
    home.hears("house/kitchen", "21.0");
    home.says({{"fact", "start"}, {"jar", "blue"}});
    home.lives_for(1h, 21.0);
    home.run_for(3h);
    for (int i = 0; burst && i < 20; ++i) {
      home.clock_says(home.now() + 20ms);
      home.hears("house/kitchen", std::to_string(21.0 + 0.1 * i));
    }
    if (!burst) home.hears("house/kitchen", "22.9");
    home.run_for(1min);
    EXPECT_EQ(home.state("place-kitchen/air/temperature"), "22.9");
    const auto from = instant_from_rfc3339(home.state("jar-blue/batch/peak-opens-earliest"));
    const auto until = instant_from_rfc3339(home.state("jar-blue/batch/peak-opens-latest"));
    return from && until ? hours_between(from.value(), until.value()) : 0.0;
  };
  EXPECT_GT(peak_width_h(true), peak_width_h(false));
}

}  // namespace
}  // namespace wheymark::test
