// Which notices does a household get, and when?
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/record/waking.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;
using ::testing::SizeIs;

class Notices : public OneJar {
 protected:
  [[nodiscard]] const std::vector<Notice>& told() const { return world.notices(); }
  [[nodiscard]] std::vector<Notice> told_of(NoticeKind kind) const {
    std::vector<Notice> some;
    for (const Notice& notice : told()) {
      if (notice.kind == kind) some.push_back(notice);
    }
    return some;
  }
  // The step that says something of this kind.
  template <class Said>
  static const NoticeStep* step(const Notice& notice) {
    for (const NoticeStep& one : notice.steps) {
      if (std::holds_alternative<Said>(one.say)) return &one;
    }
    return nullptr;
  }
  static std::vector<Verdict> verdicts(const Notice& notice) {
    std::vector<Verdict> all;
    for (const NoticeStep& one : notice.steps) {
      if (const Strain* said = std::get_if<Strain>(&one.say)) all.push_back(*said->verdict);
    }
    return all;
  }
  // And not what to do about the night.
  static bool tells_to_strain(const Notice& notice) {
    return !verdicts(notice).empty() && step<Move>(notice) == nullptr;
  }
};

TEST_F(Notices, AreNotSentToAHouseholdWithoutAJarAtWork) {
  world.run_for(72h);
  EXPECT_THAT(told(), IsEmpty());
}

TEST_F(Notices, NobodyIsToldWhatHasJustBeenDone) {
  world.does(start("blue"));
  world.run_for(1h);
  world.does(SignSeen{"blue", Sign::whey_pockets});
  world.run_for(1h);
  world.does(strain("blue"));
  world.run_for(30min);
  EXPECT_THAT(told(), IsEmpty());
}

TEST_F(Notices, TellOnceWhenToGoToTheJarWithAButtonForEachVerdictAndTheNextFeeding) {
  room.is(23.0_degC);
  world.does(start("blue"));
  world.run_for(36h);
  std::vector<Notice> strain;
  for (const Notice& notice : told()) {
    if (tells_to_strain(notice)) strain.push_back(notice);
  }
  ASSERT_THAT(strain, Not(IsEmpty()));
  EXPECT_THAT(strain.front().text, HasSubstr("Blue jar"));
  EXPECT_THAT(verdicts(strain.front()),
              ::testing::UnorderedElementsAre(Verdict::early, Verdict::right, Verdict::late));
  const NoticeStep* feed = step<Start>(strain.front());
  ASSERT_NE(feed, nullptr);
  EXPECT_TRUE(std::get<Start>(feed->say).grain_g && std::get<Start>(feed->say).milk_ml);
  EXPECT_LE(strain.size(), 2U) << "a reminder at most";
}

TEST_F(Notices, OfferAButtonForNotReadyAndTellAgainWhenItIsDue) {
  room.is(23.0_degC);
  world.does(start("blue"));
  const auto strainings = [&] {
    std::vector<Notice> all;
    for (const Notice& notice : told()) {
      if (tells_to_strain(notice)) all.push_back(notice);
    }
    return all;
  };
  while (strainings().empty()) world.run_for(1h);
  const Notice first = strainings().front();
  const NoticeStep* not_ready = step<SignSeen>(first);
  ASSERT_NE(not_ready, nullptr);
  EXPECT_GT(not_ready->at, first.time) << "when to look again";
  world.does(not_ready->say);
  world.run_for(20h);
  ASSERT_THAT(strainings(), Not(SizeIs(1)));
  EXPECT_EQ(strainings()[1].replaces, first.id);
}

// With the default waking hours, 07:00 to 22:30.
TEST_F(Notices, LeaveTheNightAloneButForSafety) {
  for (int day = 0; day < 6; ++day) {
    world.does(start("blue"));
    world.run_for(24h);
    world.does(strain("blue"));
  }
  ASSERT_THAT(told(), Not(IsEmpty()));
  for (const Notice& notice : told()) {
    if (notice.kind == NoticeKind::safety) continue;
    EXPECT_TRUE(awake_at(notice.time, world.household().setup())) << notice.id;
  }
}

TEST_F(Notices, OfOneJarAreAtMostTwoADay) {
  std::map<std::chrono::sys_days, int> by_day;
  for (int day = 0; day < 10; ++day) {
    world.does(start("blue"));
    world.run_for(24h);
    world.does(strain("blue"));
  }
  for (const Notice& notice : told()) ++by_day[std::chrono::floor<std::chrono::days>(notice.time)];
  ASSERT_THAT(by_day, Not(IsEmpty()));
  for (const auto& [day, count] : by_day) EXPECT_LE(count, 2);
}

TEST_F(Notices, TellInTheEveningWhatKeepsThePeakOutOfTheNight) {
  room.is(21.0_degC);  // a cold batch of an average culture takes some 23 h
  world.run_until(midnight + 24h + 5h);
  world.does(start("blue"));
  world.run_until(midnight + 48h + 1h);
  const auto evening = told_of(NoticeKind::in_the_evening);
  ASSERT_THAT(evening, SizeIs(1));
  const NoticeStep* move = step<Move>(evening.front());
  ASSERT_NE(move, nullptr);
  EXPECT_EQ(std::get<Move>(move->say).place, PlaceId("fridge"));
  EXPECT_TRUE(awake_at(move->at, world.household().setup()));
}

TEST_F(Notices, SayInTheMorningWhatWasPutInTheFridgeForTheNightAndForgotten) {
  room.is(21.0_degC);
  world.run_until(midnight + 24h + 5h);
  world.does(start("blue"));
  world.run_until(midnight + 46h);
  ASSERT_THAT(told_of(NoticeKind::in_the_evening), Not(IsEmpty()));
  const Notice evening = told_of(NoticeKind::in_the_evening).front();
  ASSERT_NE(step<Move>(evening), nullptr);
  const NoticeStep into_the_fridge = *step<Move>(evening);
  world.run_until(into_the_fridge.at);
  world.does(into_the_fridge.say);
  const std::size_t before = told().size();
  world.run_until(midnight + 48h + 10h);
  ASSERT_GT(told().size(), before);
  const NoticeStep* out = step<Move>(told()[before]);
  ASSERT_NE(out, nullptr) << told()[before].text;
  EXPECT_EQ(std::get<Move>(out->say).place, PlaceId("kitchen"));
}

// A button for it, or a meter: both take back that it is ready.
TEST_F(Notices, ThatAMeterRefutesAreToldAgain) {
  room.is(23.0_degC);
  world.does(start("blue"));
  const auto strainings = [&] {
    return std::count_if(told().begin(), told().end(), [](const Notice& notice) {
      return tells_to_strain(notice) && notice.text.find("still not strained") == std::string::npos;
    });
  };
  while (strainings() == 0) world.run_for(1h);
  world.does(PhMeasured{"blue", 5.0});
  world.run_for(30h);
  EXPECT_GT(strainings(), 1);
}

TEST_F(Notices, OfMilkThatDoesNotSourSayToThrowItOutAndNotToStrainIt) {
  room.is(23.0_degC);
  world.does(start("blue"));
  world.run_for(26h);
  world.does(PhMeasured{"blue", 5.9});
  const std::size_t before = told().size();
  world.run_for(30h);
  ASSERT_GT(told().size(), before);
  for (std::size_t i = before; i < told().size(); ++i) {
    EXPECT_FALSE(tells_to_strain(told()[i])) << told()[i].text;
    EXPECT_THAT(told()[i].text, Not(HasSubstr("train it")));
  }
  EXPECT_THAT(told()[before].text, HasSubstr("throw it out"));
}

TEST_F(Notices, OfAPeakThatIsOverDoNotAskToLookAgain) {
  room.is(23.0_degC);
  world.does(start("blue"));
  world.attention().presence(false);
  world.run_for(4 * 24h);
  const std::size_t before = told().size();
  world.attention().presence(true);
  world.run_until(midnight + 5 * 24h);
  ASSERT_GT(told().size(), before);
  EXPECT_THAT(told()[before].text, HasSubstr("over since"));
  EXPECT_THAT(told()[before].text, Not(HasSubstr("look again")));
  EXPECT_EQ(step<SignSeen>(told()[before]), nullptr);
}

TEST_F(Notices, WithNobodyHomeWaitUntilSomebodyIs) {
  room.is(23.0_degC);
  world.does(start("blue"));
  world.attention().presence(false);
  world.run_for(26h);
  EXPECT_THAT(told(), IsEmpty());
  world.attention().presence(true);
  world.run_for(4h);
  EXPECT_THAT(told(), Not(IsEmpty()));
}

TEST_F(Notices, TellWhoLeavesOfAPeakThatComesMeanwhile) {
  room.is(23.0_degC);
  world.does(start("blue"));
  world.run_until(midnight + 24h + 2h);
  world.attention().presence(true);
  world.run_until(midnight + 24h + 7h + 5min);
  const std::size_t before = told().size();
  world.attention().presence(false);
  world.run_for(10min);
  ASSERT_THAT(told(), SizeIs(before + 1));
  EXPECT_EQ(told().back().kind, NoticeKind::leaving);
  ASSERT_NE(step<Move>(told().back()), nullptr);
  EXPECT_EQ(std::get<Move>(step<Move>(told().back())->say).place, PlaceId("fridge"));
}

TEST_F(Notices, AfterDaysWithoutThermometersAndDaemonAreOneWord) {
  room.is(23.0_degC);
  world.does(start("blue"));
  world.attention().presence(false);  // so that nothing is told
  world.run_for(4 * 24h);
  const std::size_t before = told().size();
  world.attention().presence(true);
  world.run_until(midnight + 5 * 24h);
  EXPECT_LE(told().size() - before, 1U);
}

TEST_F(Notices, OfMouldComeAtOnceAndAtNight) {
  world.run_until(midnight + 20h);
  world.does(start("blue"));
  world.run_until(midnight + 27h);
  Inspect mould;
  mould.jar = "blue";
  mould.mould = true;
  world.does(mould);
  const auto safety = told_of(NoticeKind::safety);
  ASSERT_THAT(safety, SizeIs(1));
  EXPECT_EQ(safety.front().time, world.now());
  EXPECT_TRUE(safety.front().caution);
  EXPECT_NE(step<Discard>(safety.front()), nullptr);
}

}  // namespace
}  // namespace wheymark::test
