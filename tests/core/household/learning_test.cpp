// A household learns from reports, however late, and unlearns those that are taken back.
#include <cmath>
#include <gtest/gtest.h>

#include "core/household/household.hpp"
#include "tests/core/given.hpp"

namespace wheymark {
namespace {

using std::chrono::minutes;

class AHouseholdThatLearns : public testing::Test {
 protected:
  static HouseholdSetup setup() {
    HouseholdSetup setup;
    setup.places = {{"kitchen", "Kitchen", PlaceKind::room, true, minutes{45}}};
    setup.cultures = {{"grains", "Grains", 20.0}, {"others", "Others", 20.0}};
    for (const char* id : {"blue", "green"}) {
      JarSetup jar;
      jar.id = id;
      jar.name = id;
      jar.capacity_ml = 1250.0;
      jar.place = "kitchen";
      jar.culture = "grains";
      jar.milk = MilkKind::cow_whole;
      jar.milk_ml = 950.0;
      jar.grain_g = 20.0;
      setup.jars.push_back(jar);
    }
    return setup;
  }

  void wait_until(Instant instant) {
    for (; read_until_ <= instant; read_until_ += minutes{15}) {
      const auto entry = household_.decide("kitchen", Celsius(22.0), read_until_, read_until_);
      ASSERT_TRUE(entry.ok());
      household_.apply(entry.value());
    }
    now_ = instant;
  }
  void say(const Fact& fact, std::optional<Instant> at = std::nullopt, const char* ref = nullptr) {
    const auto accepted =
        household_.decide({fact, at, ref ? std::optional<std::string>(ref) : std::nullopt}, now_);
    ASSERT_TRUE(accepted.ok()) << accepted.why();
    household_.apply(accepted.value().record);
  }
  static Start start(const JarId& jar) {
    Start start;
    start.jar = jar;
    return start;
  }
  // A batch from now on whose pockets are seen after `hours_to_pockets`, strained an hour later.
  void batch_with_pockets_after(int hours_to_pockets) {
    say(start("blue"));
    wait_until(now_ + std::chrono::hours{hours_to_pockets});
    say(SignSeen{"blue", Sign::whey_pockets});
    wait_until(now_ + std::chrono::hours{1});
    say(Strain{"blue", {}, {}, {}});
    wait_until(now_ + std::chrono::hours{1});
  }

  Household household_{setup(), default_parameters()};
  Instant now_ = morning;
  Instant read_until_ = morning;
};

TEST_F(AHouseholdThatLearns, LearnsNothingFromABatchThatWasThrownAway) {
  const PaceBelief before = household_.paces().of("grains");
  wait_until(morning);
  say(start("blue"));
  wait_until(morning + std::chrono::hours{20});
  say(Discard{"blue", std::nullopt});
  wait_until(morning + std::chrono::hours{30});
  EXPECT_EQ(household_.paces().of("grains"), before);
}

TEST_F(AHouseholdThatLearns, LearnsFromBatchesAndOnlyOfTheirCulture) {
  const PaceBelief others = household_.paces().of("others");
  const double unknown = household_.paces().of("grains").median();
  wait_until(morning);
  for (int batch = 0; batch < 4; ++batch) batch_with_pockets_after(11);
  EXPECT_GT(household_.paces().of("grains").median(), 1.2 * unknown);
  EXPECT_EQ(household_.paces().of("others"), others);
}

TEST_F(AHouseholdThatLearns, UnlearnsWhatIsTakenBack) {
  wait_until(morning);
  say(start("blue"));
  wait_until(morning + std::chrono::hours{11});
  say(SignSeen{"blue", Sign::whey_pockets}, std::nullopt, "a slip");
  say(Strain{"blue", {}, {}, {}}, std::nullopt, "another");
  wait_until(morning + std::chrono::hours{13});
  const PaceBelief before = Household(setup(), default_parameters()).paces().of("grains");
  ASSERT_NE(household_.paces().of("grains"), before);

  say(Retract{"another"});
  say(Retract{"a slip"});
  EXPECT_EQ(household_.paces().of("grains"), before);
}

TEST_F(AHouseholdThatLearns, LearnsTheSameFromAReportThatIsToldAfterStraining) {
  wait_until(morning);
  say(start("blue"));
  wait_until(morning + std::chrono::hours{12});
  say(SignSeen{"blue", Sign::whey_pockets});
  wait_until(morning + std::chrono::hours{13});
  say(Strain{"blue", {}, {}, {}});
  wait_until(morning + std::chrono::hours{20});
  const PaceBelief told_at_once = household_.paces().of("grains");

  Household other(setup(), default_parameters());
  for (Instant at = morning; at <= morning + std::chrono::hours{20}; at += minutes{15}) {
    other.apply(other.decide("kitchen", Celsius(22.0), at, at).value());
    const auto tell = [&](const Fact& fact, std::optional<Instant> when) {
      other.apply(other.decide({fact, when, std::nullopt}, at).value().record);
    };
    if (at == morning) tell(start("blue"), std::nullopt);
    if (at == morning + std::chrono::hours{13}) {
      tell(Strain{"blue", {}, {}, {}}, std::nullopt);
    }
    if (at == morning + std::chrono::hours{18})
      tell(SignSeen{"blue", Sign::whey_pockets}, morning + std::chrono::hours{12});
  }
  EXPECT_EQ(other.paces().of("grains"), told_at_once);
}

TEST_F(AHouseholdThatLearns, TellsARunningBatchWhatAnotherJarHasShown) {
  wait_until(morning);
  say(start("blue"));
  say(start("green"));
  wait_until(morning + std::chrono::hours{10});
  const Batch* green = household_.book().in_jar("green");
  const double before = household_.fermentation(*green)->pace().median();
  say(SignSeen{"blue", Sign::whey_pockets});
  say(Strain{"blue", {}, Verdict::right, {}});
  wait_until(morning + std::chrono::hours{11});
  EXPECT_GT(household_.fermentation(*household_.book().in_jar("green"))->pace().median(),
            1.1 * before);
}

TEST_F(AHouseholdThatLearns, IsLessSureOfTheNextBatchThanOfTheCulture) {
  wait_until(morning);
  for (int batch = 0; batch < 5; ++batch) batch_with_pockets_after(14);
  const auto width = [](const PaceBelief& belief) {
    return std::log(belief.quantile(0.9) / belief.quantile(0.1));
  };
  EXPECT_GT(width(household_.pace_of_next_batch("grains", now_)),
            width(household_.paces().of("grains")));
}

}  // namespace
}  // namespace wheymark
