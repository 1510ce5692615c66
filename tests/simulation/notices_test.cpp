// Do people who do what notices say, when they say it, strain at the peak, and are they left in
// peace? Compared with those who go by the clock, look, act on events or ask for plans.
//
// What is chosen in core/notice was chosen on seeds 1 to 12; WHEYMARK_JUDGE_SEEDS="from-to" lives
// with other households and prints the table of all habits; with WHEYMARK_READ_ALOUD it
// prints what the first of them was told in some six weeks.
#include <cstdlib>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/simulation/closed_loop.hpp"
#include "tests/simulation/judging.hpp"

namespace wheymark::simulation {
namespace {

constexpr std::size_t batches_of_a_life = 12;

Lived lived_by_all(const Seeds& seeds, Habit habit, bool says_verdict, std::size_t jars,
                   const char* what) {
  static const Rooms rooms = Rooms::of_the_reference();
  Lived all;
  for (std::uint64_t seed = seeds.from; seed <= seeds.to; ++seed) {
    all.add(lived_by({seed, habit, says_verdict, jars}, batches_of_a_life, rooms));
  }
  fmt::print("{:30} forecasts {:4}: error {:4.1f} %  width {:5.1f} %  hold {:5.1f} %\n", what,
             all.errors.size(), 100 * median(all.errors), 100 * median(all.widths),
             100 * all.held / static_cast<double>(all.errors.size()));
  fmt::print(
      "{:30} n {:4}  at the peak {:5.1f} %  early {:4.1f}  late {:4.1f}  a batch: looks {:5.2f}  "
      "moves {:4.2f}  batches a day {:4.2f}  notices a day {:4.2f}, at most {}, at night {}\n",
      what, all.batches, 100 * all.at_peak / all.batches, 100 * all.early / all.batches,
      100 * all.late / all.batches, all.looks / all.batches, all.moves / all.batches,
      all.batches / all.days, all.notices / all.days, all.most_in_a_day, all.at_night);
  return all;
}

class Notices : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    const Seeds seeds = seeds_to_judge({901, 906});
    verdicts_ = lived_by_all(seeds, Habit::notices_looking, true, 1, "notices, verdicts");
    events_ = lived_by_all(seeds, Habit::on_peak_open, true, 1, "peak-open, verdicts");
    three_ = lived_by_all({seeds.from, seeds.from + 1}, Habit::notices_looking, true, 3,
                          "notices, three jars");
    if (std::getenv("WHEYMARK_READ_ALOUD") != nullptr) read_aloud(seeds.from);
    if (std::getenv("WHEYMARK_JUDGE_SEEDS") == nullptr) return;
    lived_by_all(seeds, Habit::each_day, false, 1, "each 24 h");
    lived_by_all(seeds, Habit::looking, false, 1, "looking every two hours");
    lived_by_all(seeds, Habit::on_peak_open, false, 1, "peak-open, a plain button");
    lived_by_all(seeds, Habit::asking, false, 1, "asking, a plain button");
    lived_by_all(seeds, Habit::asking, true, 1, "asking, verdicts");
    lived_by_all(seeds, Habit::notices_looking, false, 1, "notices, a plain button");
    lived_by_all(seeds, Habit::notices, true, 1, "notices, obeyed without a look");
  }

  static void read_aloud(std::uint64_t seed) {
    const Rooms rooms = Rooms::of_the_reference();
    const Lived lived = lived_by({seed, Habit::notices_looking, true, 1, true}, 36, rooms);
    for (const TextSaid& said : lived.said) fmt::print("{}  {}\n", said.at, said.text);
  }

  static Lived verdicts_;
  static Lived events_;
  static Lived three_;
};

Lived Notices::verdicts_;
Lived Notices::events_;
Lived Notices::three_;

// Six households, so some luck is in it.
TEST_F(Notices, BringMostBatchesToTheirPeakAndMoreThanEventsDo) {
  EXPECT_GE(verdicts_.at_peak / verdicts_.batches, 0.90);
  EXPECT_GT(verdicts_.at_peak / verdicts_.batches, events_.at_peak / events_.batches + 0.1);
}

// A nag that is always obeyed is no solution.
TEST_F(Notices, LeavePeopleInPeace) {
  EXPECT_LE(verdicts_.most_in_a_day, 2);
  EXPECT_LE(three_.most_in_a_day, 3);
  EXPECT_EQ(verdicts_.at_night + three_.at_night, 0);
  EXPECT_LE(verdicts_.looks / verdicts_.batches, 2.5);
  EXPECT_LE(verdicts_.moves / verdicts_.batches, 0.7);
}

TEST_F(Notices, CostNoBatches) {
  EXPECT_GE(verdicts_.batches / verdicts_.days, 0.95 * events_.batches / events_.days);
}

}  // namespace
}  // namespace wheymark::simulation
