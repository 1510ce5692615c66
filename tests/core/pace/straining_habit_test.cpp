// What is learned from who strains without a word: much from who looks, nothing from who does not.
#include <gtest/gtest.h>

#include "core/pace/culture_learning.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using std::chrono::hours;

// A kitchen whose jars are strained in rooms of different warmth.
class Strainings : public ::testing::Test {
 protected:
  static constexpr std::array<double, 5> warmths{0.8, 1.0, 1.2, 0.9, 1.1};

  // The warmth of the next batch's room: how fast its clock runs.
  [[nodiscard]] double warmth() const { return warmths[batch_ % warmths.size()]; }
  // When grains of this pace open their peak in it.
  [[nodiscard]] double opens_h(double pace) const {
    return some_milestones.peak_opens_h / (pace * warmth());
  }
  void strained(double after_h, std::optional<double> after_told_h) {
    const Instant start = morning + hours{48} * static_cast<int>(batch_);
    const Instant at = after_hours(start, after_h);
    ClockTrack track;
    track.add(start, 0.0);
    track.end_with(at, warmth() * after_h);
    const Look look(track, at, [](Instant from, Instant to) { return hours_between(from, to); });
    Lesson lesson{++batch_, at, {}};
    lesson.strained =
        silent_straining(after_h, after_told_h, Sign::still_milk, look, some_milestones, p);
    ASSERT_TRUE(lesson.strained);
    kitchen_.learn(std::move(lesson));
  }
  [[nodiscard]] PaceBelief believed() const { return kitchen_.pace().of_the_culture(); }
  [[nodiscard]] static double width(const PaceBelief& belief) {
    return std::log(belief.quantile(0.9) / belief.quantile(0.1));
  }
  [[nodiscard]] double looks() const { return kitchen_.strained_by_looks(); }

  const PaceBelief unknown_ = CulturePace(p).of_the_culture();

 private:
  CultureLearning kitchen_{CulturePace(p)};
  std::uint64_t batch_ = 0;
};

TEST_F(Strainings, OfWhoStrainsWhatShowsPocketsTeachThePace) {
  for (int i = 0; i < 8; ++i) strained(opens_h(1.3) + 0.4, std::nullopt);
  EXPECT_NEAR(believed().median(), 1.3, 0.1);
  EXPECT_LT(width(believed()), 0.5 * width(unknown_));
  EXPECT_GT(looks(), 0.6);
}

TEST_F(Strainings, HoursAfterTheWordTeachThatItWasTooEarly) {
  for (int i = 0; i < 8; ++i) strained(opens_h(0.8) + 0.4, 4.0);
  EXPECT_NEAR(believed().median(), 0.8, 0.08);
}

TEST_F(Strainings, AtTheSameHourTeachLittle) {
  for (int i = 0; i < 12; ++i) strained(24.0, std::nullopt);
  EXPECT_LT(looks(), 0.3);
  EXPECT_GT(width(believed()), 0.6 * width(unknown_));
  EXPECT_LT(believed().quantile(0.1), 0.9) << "at pace 0.7 each of them came hours too early";
}

// They are told when a culture of pace 1 would open; theirs is slower and nobody sees it.
TEST_F(Strainings, OfWhoDoesAsToldTeachLittle) {
  for (int i = 0; i < 12; ++i) strained(opens_h(1.0) + 0.2, 0.2);
  EXPECT_LT(looks(), 0.5);
  EXPECT_GT(width(believed()), 0.5 * width(unknown_));
}

TEST_F(Strainings, OfSomebodyElseAreNoticedAfterSome) {
  for (int i = 0; i < 12; ++i) strained(24.0, std::nullopt);
  const double by_the_clock = looks();
  for (int i = 0; i < 12; ++i) strained(opens_h(1.1) + 0.4, std::nullopt);
  EXPECT_GT(looks(), by_the_clock + 0.2);
  EXPECT_NEAR(believed().median(), 1.1, 0.12);
}

}  // namespace
}  // namespace wheymark
