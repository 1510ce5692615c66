// A batch of before counts as a batch: in the history and in what is believed, and nowhere else.
#include <cmath>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

// Of last year, so long before the others; its pockets showed after so many hours.
Remembered last_year(int day, int pockets_after_h, std::optional<double> room_c = 20.0) {
  Remembered batch;
  batch.start = start("blue");
  batch.started = morning - 24h * (400 - day);
  batch.peak = batch.started + std::chrono::hours{pockets_after_h};
  batch.strained = *batch.peak + 1h;
  batch.verdict = Verdict::right;
  batch.room_c = room_c;
  return batch;
}

double span(const PaceBelief& belief) {
  return std::log(belief.quantile(0.9) / belief.quantile(0.1));
}

TEST(ABatchOfBefore, TeachesHowFastItsCultureIs) {
  World world;
  const PaceBelief unknown = world.household().paces().of("tilly");
  for (int day = 0; day < 10; day += 2) world.does(last_year(day, 30));
  const PaceBelief slow = world.household().paces().of("tilly");
  EXPECT_EQ(world.household().paces().batches("tilly"), 5U);
  EXPECT_LT(slow.median(), 0.85 * unknown.median()) << "30 h at 20 degC is slow";
  EXPECT_LT(span(slow), 0.5 * span(unknown));
  EXPECT_EQ(world.household().book().batches().size(), 5U);
  EXPECT_EQ(world.all_bits_folded_again(), world.all_bits());
}

// Only a mean is known of its air; with none at all, less is known.
TEST(ABatchOfBefore, TeachesLessWhenItsRoomIsNotKnown) {
  World with;
  World without;
  for (int day = 0; day < 6; day += 2) {
    with.does(last_year(day, 22));
    without.does(last_year(day, 22, std::nullopt));
  }
  EXPECT_GT(span(without.household().paces().of("tilly")),
            1.1 * span(with.household().paces().of("tilly")));
}

TEST(ABatchOfBefore, IsToldInAnyOrderAndMovesTheBatchThatRuns) {
  World world;
  world.run_for(25h);
  world.does(start("blue"));
  world.run_for(2h);
  const auto opens = [&] { return *world.state("blue").forecast.peak_opens.p50; };
  const Instant before = opens();
  for (const int day : {4, 0, 2}) world.does(last_year(day, 34));
  EXPECT_GT(opens(), before + 2h);
  EXPECT_EQ(world.all_bits_folded_again(), world.all_bits());

  World in_order;
  in_order.run_for(25h);
  in_order.does(start("blue"));
  in_order.run_for(2h);
  for (const int day : {0, 2, 4}) in_order.does(last_year(day, 34));
  EXPECT_EQ(in_order.state("blue").forecast.peak_opens.p50, opens());
}

TEST(ABatchOfBefore, ChangesNeitherJarsNorGrainsAndIsToldToNobody) {
  World world;
  world.run_for(25h);
  const std::size_t told = world.announcements().size();
  const double grain_g =
      world.household().book().grain_g(*world.household().setup().culture("tilly"));
  for (int day = 0; day < 40; day += 2) world.does(last_year(day, day < 20 ? 16 : 30));
  world.run_for(24h);
  EXPECT_EQ(world.announcements().size(), told);
  EXPECT_TRUE(world.notices().empty());
  EXPECT_EQ(world.household().book().in_jar("blue"), nullptr);
  EXPECT_EQ(world.household().book().grain_g(*world.household().setup().culture("tilly")), grain_g);
}

TEST(ABatchOfBefore, ThatIsTakenBackTeachesNothing) {
  World world;
  const PaceBelief unknown = world.household().paces().of("tilly");
  world.does(last_year(0, 30), {}, "a mistake");
  ASSERT_NE(world.household().paces().of("tilly"), unknown);
  world.does(Retract{"a mistake"});
  EXPECT_EQ(world.household().paces().of("tilly"), unknown);
  EXPECT_TRUE(world.household().book().batches().empty());
}

TEST(ABatchOfBefore, ThatCannotHaveBeenIsRefusedWithWhatIsAllowed) {
  World world;
  world.run_for(25h);
  const auto why = [&](const Remembered& batch) { return world.says(batch).why(); };
  world.does(last_year(0, 22));
  EXPECT_THAT(why(last_year(0, 20)), HasSubstr("Blue jar held another batch"));
  Remembered batch = last_year(2, 22);
  batch.strained = world.now() + 1h;
  EXPECT_THAT(why(batch), HasSubstr("strained is"));
  batch = last_year(2, 22);
  batch.strained = batch.started + 200h;
  EXPECT_THAT(why(batch), HasSubstr("200 h after started; allowed is 1 to 168 h"));
  batch = last_year(2, 22);
  batch.peak = batch.strained + 1h;
  EXPECT_THAT(why(batch), HasSubstr("peak is"));
  batch = last_year(2, 22, 60.0);
  EXPECT_THAT(why(batch), HasSubstr("room_c is 60 degC; allowed is 8 to 38 degC"));
  batch = last_year(2, 22);
  batch.started = Instant{};
  EXPECT_THAT(why(batch), HasSubstr("the year 2000 or later"));
  batch = last_year(2, 22);
  batch.start.grain_g = 900.0;
  EXPECT_THAT(why(batch), HasSubstr("g per mL"));
}

}  // namespace
}  // namespace wheymark::test
