// Is Wheymark right as often as it says, in households that ferment by other laws than its own?
//
// 24 households, each with its own grains, room, heat, eyes and habits. The goals are those that
// the project set itself before it knew the outcome; the seeds that it was tuned on are others (1
// to 24). WHEYMARK_JUDGE_SEEDS="from-to" judges other households and prints the table.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "tests/simulation/judging.hpp"
#include "tests/simulation/life.hpp"

namespace wheymark::simulation {
namespace {

constexpr std::size_t batches_lived = 12;

// What came of many forecasts.
struct Score {
  std::size_t asked = 0;
  double coverage = 0.0;
  double median_error = 0.0;  // shares of the batch's length
  double median_bias = 0.0;
  double median_width = 0.0;
};

using Milestone = std::vector<Scored> LifeStory::*;

Score score_of(const std::vector<LifeStory>& stories, Milestone milestone, std::size_t from_batch,
               std::size_t to_batch) {
  std::vector<double> errors;
  std::vector<double> biases;
  std::vector<double> widths;
  std::size_t covered = 0;
  for (const LifeStory& story : stories) {
    for (const Scored& asked : story.*milestone) {
      if (asked.batch < from_batch || asked.batch > to_batch) continue;
      errors.push_back(std::abs(asked.error_share));
      biases.push_back(asked.error_share);
      widths.push_back(asked.width_share);
      covered += asked.covered ? 1 : 0;
    }
  }
  return {errors.size(), static_cast<double>(covered) / static_cast<double>(errors.size()),
          median(errors), median(biases), median(widths)};
}

class Judge : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    rooms_ = Rooms::of_the_reference();
    const Seeds seeds = seeds_to_judge({101, 124});
    for (std::uint64_t seed = seeds.from; seed <= seeds.to; ++seed) {
      stories_.push_back(lived(seed, batches_lived, rooms_));
    }
    print_all("opens", &LifeStory::opens);
    print_all("closes", &LifeStory::closes);
    print_all("closes, open", &LifeStory::closes_of_an_open_peak);
    double peak_h = 0.0;
    double computed_h = 0.0;
    for (const LifeStory& story : stories_) {
      peak_h += story.peak_h;
      computed_h += story.peak_h_computed;
    }
    const double batches_judged = static_cast<double>(batches_lived * stories_.size());
    fmt::print("a peak lasts {:.1f} h, computed {:.1f} h\n", peak_h / batches_judged,
               computed_h / batches_judged);
  }
  static void TearDownTestSuite() { stories_.clear(); }

  static void print_all(const char* what, Milestone milestone) {
    print(what, "first batch", milestone, 0, 0);
    print(what, "second and third", milestone, 1, 2);
    print(what, "fourth and later", milestone, 3, batches_lived);
  }
  static void print(const char* what, const char* which, Milestone milestone, std::size_t from,
                    std::size_t to) {
    const Score s = score_of(stories_, milestone, from, to);
    fmt::print(
        "{:12} {:18} n {:4}  coverage {:5.1f} %  error {:4.1f} %  bias {:+5.1f} %  width {:5.1f} "
        "%\n",
        what, which, s.asked, 100 * s.coverage, 100 * s.median_error, 100 * s.median_bias,
        100 * s.median_width);
  }

  static Rooms rooms_;
  static std::vector<LifeStory> stories_;
};

Rooms Judge::rooms_;
std::vector<LifeStory> Judge::stories_;

// 72 to 90 % is the project's goal for an interval that is called 80 %.
TEST_F(Judge, TheFirstForecastsHoldTheTruthAsOftenAsTheySay) {
  const Score first = score_of(stories_, &LifeStory::opens, 0, 0);
  // 24 forecasts: one in ten goals would be missed by chance even if the interval were perfect, so
  // the second and third batches are judged with them.
  const Score early = score_of(stories_, &LifeStory::opens, 0, 2);
  EXPECT_GE(first.coverage, 0.62) << "two standard errors of 24 below the goal's middle";
  EXPECT_GE(early.coverage, 0.72);
  EXPECT_LE(early.coverage, 0.95);
}

TEST_F(Judge, FromTheFourthBatchOnTheIntervalHoldsTheTruthAsOftenAsItSays) {
  const Score learned = score_of(stories_, &LifeStory::opens, 3, batches_lived);
  EXPECT_GE(learned.coverage, 0.72);
  EXPECT_LE(learned.coverage, 0.90);
}

TEST_F(Judge, FromTheFourthBatchOnTheMedianIsWithinATwentiethOfTheBatch) {
  EXPECT_LE(score_of(stories_, &LifeStory::opens, 3, batches_lived).median_error, 0.05);
}

TEST_F(Judge, FromTheFourthBatchOnTheIntervalIsAFifthOfTheBatchOrNarrower) {
  EXPECT_LE(score_of(stories_, &LifeStory::opens, 3, batches_lived).median_width, 0.20);
}

// How long a peak lasts is seen seldom, since who strains in time does not see its end. On these 24
// households two standard errors of the coverage are 0.08 (their batches go together).
TEST_F(Judge, TheClosingHoldsTheTruthAsOftenAsItSays) {
  for (const Milestone milestone : {&LifeStory::closes, &LifeStory::closes_of_an_open_peak}) {
    const Score learned = score_of(stories_, milestone, 3, batches_lived);
    EXPECT_GE(learned.coverage, 0.72);
    EXPECT_LE(learned.coverage, 0.92);
    EXPECT_LE(learned.median_error, 0.12);
  }
}

// Is a change told from noise? 24 households for 40 batches, whose grains drift by some percent as
// grains do; and the same households, whose grains lose or gain a third with the 15th batch.
TEST_F(Judge, AChangeOfACulturesPaceIsToldAndNoiseIsNot) {
  std::size_t told_of_noise = 0;
  std::size_t told_slower = 0;
  std::size_t told_faster = 0;
  const Seeds seeds = seeds_to_judge({101, 124});
  for (std::uint64_t seed = seeds.from; seed <= seeds.to; ++seed) {
    const LifeStory steady = lived(seed, 40, rooms_);
    told_of_noise += steady.slower_said + steady.faster_said;
    told_slower += lived(seed, 26, rooms_, {14, 0.75}).slower_said > 0 ? 1 : 0;
    told_faster += lived(seed, 26, rooms_, {14, 1.33}).faster_said > 0 ? 1 : 0;
  }
  const std::size_t households = seeds.to - seeds.from + 1;
  fmt::print("changes: {} of {} slower told, {} faster; {} told in {} batches without one\n",
             told_slower, households, told_faster, told_of_noise, 40 * households);
  EXPECT_GE(told_slower, households * 3 / 4);
  EXPECT_GE(told_faster, households * 3 / 4);
  EXPECT_LE(told_of_noise, households * 40 / 100) << "one in a hundred batches";
}

// A cold week and a warm one are weather. Other kinetics answer to warmth otherwise than ours, so
// that the same grains look slower in the one and faster in the other.
TEST_F(Judge, ColdWeeksAndWarmOnesAreNotToldAsAChangeOfTheCulture) {
  constexpr std::size_t batches = 60;
  constexpr double swing_k = 3.5;
  std::size_t told = 0;
  std::size_t both = 0;
  const Seeds seeds = seeds_to_judge({101, 124});
  for (std::uint64_t seed = seeds.from; seed <= seeds.to; ++seed) {
    const LifeStory story = lived(seed, batches, rooms_, {1'000'000, 1.0}, swing_k);
    told += story.slower_said + story.faster_said;
    both += story.slower_said > 0 && story.faster_said > 0 ? 1 : 0;
  }
  const std::size_t households = seeds.to - seeds.from + 1;
  fmt::print("weather: {} told in {} batches of grains that stayed the same; both in {} of {}\n",
             told, batches * households, both, households);
  EXPECT_LE(both, households / 20);
  EXPECT_LE(told, households * batches / 100) << "one in a hundred batches";
}

}  // namespace
}  // namespace wheymark::simulation
