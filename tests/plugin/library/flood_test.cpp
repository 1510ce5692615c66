// Somebody floods the broker: neither the disk nor the log fills up, and later messages are heard.
#include <gtest/gtest.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;

class AFlood : public AtHome {
 protected:
  [[nodiscard]] std::size_t rows() {
    std::size_t count = 0;
    (void)home.disk.store().read_journal([&](const JournalRow&) {
      ++count;
      return Outcome(Nothing{});
    });
    return count;
  }
};

TEST_F(AFlood, OfReadingsKeepsOneInFiveSecondsHoweverTheyAlternate) {
  const std::size_t before = rows();
  for (int i = 0; i < 3'000; ++i) {  // ten minutes, five a second
    home.clock_says(home.now() + 200ms);
    constexpr std::array<const char*, 4> says{"20.0", "99.0", "41.0", "3.0"};
    home.hears("house/kitchen", says[static_cast<std::size_t>(i) % says.size()]);
  }
  // 600 s in steps of 5 s, and what is announced because of them.
  EXPECT_LE(rows() - before, 120U + 10U);
}

TEST_F(AFlood, OfSayingsKeepsNoMoreThanABusyHouseholdSays) {
  const std::size_t before = rows();
  std::string last;
  for (int i = 0; i < 3'000; ++i) {
    home.hears("wheymark/say", R"({"fact":"weigh","culture":"tilly","grain_g":20})");
  }
  EXPECT_EQ(home.answers().size(), 3'000U) << "each has its answer";
  EXPECT_THAT(home.answers().back()["why"].get<std::string>(), HasSubstr("say it again"));
  EXPECT_LE(rows() - before, 400U);
  home.run_for(1h);
  EXPECT_EQ(home.says({{"fact", "start"}, {"jar", "blue"}})["accepted"], true);
}

TEST_F(AFlood, OfNonsenseIsRemarkedOnOnceADayAndCounted) {
  const std::size_t before = home.broker.log.size();
  for (int i = 0; i < 3'000; ++i) home.hears("house/kitchen", "\x1b[31mnonsense");
  EXPECT_EQ(home.broker.log.size() - before, 1U);
  home.run_for(24h);
  home.hears("house/kitchen", "nonsense");
  EXPECT_THAT(home.broker.log.back(), HasSubstr("and 2999 more like it before"));
}

}  // namespace
}  // namespace wheymark::test
