// Grains that must be discarded colour everything that holds or held them, until they are replaced.
#include <gtest/gtest.h>

#include "core/advice/explanation.hpp"
#include "core/advice/feeding.hpp"
#include "core/advice/steering.hpp"
#include "core/announce/alerts.hpp"
#include "core/household/grain_needs.hpp"
#include "core/household/report_answer.hpp"
#include "core/household/suspect_words.hpp"
#include "core/record/local_time.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::AnyOf;
using ::testing::Contains;
using ::testing::Each;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

Inspect looks(GrainColour colour) {
  return {"tilly", colour, {}, {}};
}
Inspect mould_in(const JarId& jar) {
  Inspect said;
  said.jar = jar;
  said.mould = true;
  return said;
}
Spare all_thrown_away() {
  return {"tilly", SpareUse::thrown_away, std::nullopt, true};
}

// An older bottle, a good look at the grains, a younger flask, and a batch that has worked for five
// hours when somebody sees that the grains are pink.
class PinkGrains : public ::testing::Test {
 protected:
  PinkGrains() {
    a_batch_into("bottle");
    world.does(looks(GrainColour::cream));
    a_batch_into("flask");
    world.does(start("blue"));
    world.run_for(5h);
  }
  void a_batch_into(const JarId& bottle) {
    world.does(start("blue"));
    world.run_for(20h);
    world.does(strain_into("blue", bottle));
    world.does(store(bottle));
    world.run_for(1h);
  }
  void are_seen() { world.does(looks(GrainColour::pink), {}, "seen"); }

  [[nodiscard]] std::string stage(const JarId& jar) const {
    return std::string(word(world.state(jar).stage));
  }
  [[nodiscard]] GrainsState grains() {
    return grains_state(*world.household().setup().culture("tilly"), world.household(),
                        world.now());
  }
  [[nodiscard]] std::vector<std::string> alerts(const JarId& jar) {
    std::vector<std::string> ids;
    for (const Alert& one : alerts_of(*world.household().setup().jar(jar), world.state(jar))) {
      ids.push_back(one.id);
    }
    return ids;
  }
  [[nodiscard]] std::string answer(Fact fact) {
    const auto accepted = world.household().decide({std::move(fact), {}, {}, true}, world.now());
    EXPECT_TRUE(accepted.ok()) << accepted.why();
    return answer_to(accepted.value().record, world.household());
  }
  // What is said from here on, but of the bottle, which is well.
  [[nodiscard]] std::vector<std::string> texts_since(std::size_t before) const {
    std::vector<std::string> texts;
    for (std::size_t i = before; i < world.announcements().size(); ++i) {
      const Announcement& said = world.announcements()[i];
      if (said.subject != "jar-bottle") texts.push_back(said.text);
    }
    return texts;
  }

  [[nodiscard]] std::vector<std::string> kinds_since(std::size_t before) const {
    std::vector<std::string> kinds;
    for (std::size_t i = before; i < world.announcements().size(); ++i) {
      const Announcement& said = world.announcements()[i];
      if (said.subject != "jar-bottle") kinds.emplace_back(word(said.kind));
    }
    return kinds;
  }

  World world;
};

TEST_F(PinkGrains, MakeTheirJarAndTheKefirSinceTheLastGoodLookSuspect) {
  EXPECT_EQ(stage("blue"), "working");
  are_seen();
  EXPECT_EQ(stage("blue"), "suspect");
  EXPECT_EQ(stage("flask"), "suspect");
  EXPECT_EQ(stage("bottle"), "fridge");  // strained before the good look
  EXPECT_EQ(grains(), GrainsState::suspect);
  EXPECT_THAT(alerts("blue"), ElementsAre("discard-grains"));
  EXPECT_THAT(alerts("flask"), ElementsAre("discard-kefir"));
  EXPECT_THAT(alerts("bottle"), IsEmpty());
}

TEST_F(PinkGrains, AreToldOfWithTheKefirThatMayBeAffectedAndWithTheCautions) {
  are_seen();
  const Announcement& told = world.the("discard-grains");
  EXPECT_THAT(told.text,
              AllOf(HasSubstr("pink is never usual for grains"), HasSubstr("do not taste it"),
                    HasSubstr("Wash Blue jar"), HasSubstr("throw it out: Flask (strained"),
                    HasSubstr("from a reserve or new grains"), Not(HasSubstr("Bottle"))));
  EXPECT_THAT(told.caution.value_or(""),
              AllOf(HasSubstr("local food-safety advice"), HasSubstr("weak immune system")));
}

TEST_F(PinkGrains, AreNeitherForecastNorPraisedNorAdvised) {
  are_seen();
  const std::size_t before = world.announcements().size();
  EXPECT_FALSE(world.state("blue").forecast.peak_opens.p50);
  EXPECT_FALSE(world.state("blue").hours_to_peak);
  EXPECT_FALSE(world.state("flask").kept);
  world.run_for(20h);
  Strain right = strain("blue");
  right.verdict = Verdict::right;
  world.does(right);
  world.does(store("blue"));
  for (const char* place : {"kitchen", "larder", "fridge"}) world.room(place).is_read_every(40min);
  world.run_for(24h * 16);
  const std::vector<std::string> texts = texts_since(before);
  EXPECT_THAT(kinds_since(before), Not(Contains(AnyOf("peak-near", "peak-open", "over-fermented",
                                                      "best-by-near", "grains-hungry"))));
  for (const std::string& text : texts) {
    EXPECT_THAT(text, AllOf(Not(HasSubstr("just right")), Not(HasSubstr("fresh milk")),
                            Not(HasSubstr("Best by")), Not(HasSubstr("strainer"))));
  }
  EXPECT_THAT(world.the("strained").text, Not(HasSubstr("suspect")));  // the first, of old
  EXPECT_THAT(texts, Contains(AllOf(HasSubstr("Blue jar: strained"), HasSubstr("suspect"),
                                    HasSubstr("do not taste"))));
}

TEST_F(PinkGrains, ArePlannedForWithNothingButDiscarding) {
  are_seen();
  PlanRequest request;
  request.jar = "blue";
  const std::string steering = advise_steering(request, world.household(), world.now()).why();
  EXPECT_THAT(steering, AllOf(HasSubstr("discard the milk with its grains"),
                              HasSubstr("do not taste"), HasSubstr("wash the jar"),
                              HasSubstr("a reserve or new grains"), Not(HasSubstr("ool"))));
  const std::string feeding = advise_feeding(request, world.household(), world.now()).why();
  EXPECT_THAT(feeding, AllOf(HasSubstr("do not feed"), HasSubstr("do not taste")));
}

TEST_F(PinkGrains, AreWhatTheExplanationBeginsWith) {
  are_seen();
  const auto found = explanation_of("blue", world.household(), world.now());
  const auto lines = lines_of(found.value(), world.household(), world.now());
  EXPECT_THAT(lines.at(0), HasSubstr("Blue jar: suspect"));
  EXPECT_THAT(lines.at(1), HasSubstr("pink was seen in the grains of Tilly"));
  EXPECT_THAT(lines, Each(Not(HasSubstr("The peak opens"))));
}

TEST_F(PinkGrains, AreNotClearedByLookingWellLaterAndTheAnswerSaysSo) {
  are_seen();
  const Inspect well = looks(GrainColour::white);
  EXPECT_THAT(answer(well), AllOf(HasSubstr("stay suspect"), HasSubstr("retract")));
  world.does(well);
  EXPECT_EQ(stage("blue"), "suspect");
  EXPECT_EQ(stage("flask"), "suspect");
}

TEST_F(PinkGrains, ThatWereAMistakeAreTakenBackWithAllThatFollowed) {
  are_seen();
  EXPECT_THAT(answer(Retract{"seen"}), HasSubstr("Tilly is no longer suspect"));
  world.does(Retract{"seen"});
  EXPECT_EQ(stage("blue"), "working");
  EXPECT_EQ(stage("flask"), "fridge");
  const std::size_t before = world.announcements().size();
  world.run_for(20h);
  EXPECT_THAT(kinds_since(before), Contains("peak-near"));
}

TEST_F(PinkGrains, GoWithTheirMilkAndOthersTakeTheNameInAWashedJar) {
  are_seen();
  EXPECT_THAT(answer(discard("blue")), HasSubstr("the grains of Tilly are gone with it"));
  world.does(discard("blue"));
  EXPECT_EQ(grains(), GrainsState::gone);
  EXPECT_EQ(stage("blue"), "suspect");  // the glass
  EXPECT_THAT(alerts("blue"), ElementsAre("wash-jar"));
  world.does(Wash{"blue"});
  EXPECT_EQ(stage("blue"), "empty");

  world.does(weigh(25.0));
  world.does(start("blue"));
  EXPECT_EQ(stage("blue"), "working");
  EXPECT_EQ(grains(), GrainsState::working);
  EXPECT_EQ(stage("flask"), "suspect");  // new grains make old kefir no better
  world.does(discard("flask"));
  world.does(Wash{"flask"});
  EXPECT_EQ(stage("flask"), "empty");
}

TEST_F(PinkGrains, OfOtherGrainsThatAreSeenLaterNothingOlderIsSuspect) {
  world.does(discard("blue"));
  world.does(all_thrown_away());
  world.does(weigh(25.0));
  world.run_for(1h);
  world.does(start("blue"));
  world.run_for(1h);
  are_seen();
  EXPECT_EQ(stage("blue"), "suspect");
  EXPECT_EQ(stage("flask"), "fridge");
}

TEST_F(PinkGrains, LeaveAJarThatIsRefilledUnwashedWithACaution) {
  are_seen();
  world.does(discard("blue"));
  world.does(weigh(25.0));
  const std::size_t before = world.announcements().size();
  world.does(start("blue"));
  EXPECT_EQ(stage("blue"), "working");
  EXPECT_THAT(world.announcements().at(before).caution.value_or(""), HasSubstr("not washed"));
}

TEST_F(PinkGrains, LeaveABottleThatIsRefilledUnwashedWithACaution) {
  world.does(mould_in("flask"));
  world.does(discard("flask"));
  EXPECT_EQ(stage("flask"), "suspect");
  world.run_for(16h);
  const std::size_t before = world.announcements().size();
  world.does(strain_into("blue", "flask"));
  EXPECT_NE(stage("flask"), "suspect");
  EXPECT_THAT(world.announcements().at(before).caution.value_or(""), HasSubstr("not washed"));
}

TEST_F(PinkGrains, ThatAreFedAllTheSameMakeASuspectBatchAndTheAnswerSaysWhatToSay) {
  are_seen();
  world.does(strain("blue"));
  EXPECT_THAT(answer(start("blue")), AllOf(HasSubstr("stay suspect"), HasSubstr("spare")));
  world.does(start("red"));
  EXPECT_EQ(stage("red"), "suspect");
}

TEST_F(PinkGrains, ThatWereSeenInOneJarAreSuspectInEach) {
  world.does(start("red"));
  are_seen();
  EXPECT_EQ(stage("red"), "suspect");
  EXPECT_EQ(stage("blue"), "suspect");
}

TEST_F(PinkGrains, ToldLateCountFromWhenTheyWereSeen) {
  const Instant seen = world.now();
  world.run_for(16h);
  world.does(strain_into("blue", "bottle"));  // onto older kefir
  EXPECT_EQ(stage("bottle"), "fridge");
  world.does(looks(GrainColour::pink), seen);
  EXPECT_EQ(stage("bottle"), "suspect");
  EXPECT_EQ(world.all_bits(), world.all_bits_folded_again());
}

TEST_F(PinkGrains, AreNotPassedOnUnlessSomebodyIsSure) {
  are_seen();
  world.does(strain("blue"));
  const Spare given{"tilly", SpareUse::given_away, 5.0, false};
  EXPECT_THAT(world.says(given).why(),
              AllOf(HasSubstr("pink"), HasSubstr("thrown away"), HasSubstr("\"sure\": true")));
  EXPECT_THAT(world.says(Split{"tilly", "moor", 5.0}).why(), HasSubstr("not passed on"));
  EXPECT_THAT(world.says(Split{"moor", "tilly", 5.0}).why(), HasSubstr("discard those first"));
  ASSERT_TRUE(world.says_for_sure(Split{"tilly", "moor", 5.0}).ok());
  EXPECT_TRUE(world.household().book().grains("moor").suspected());
}

// --- mould --------------------------------------------------------------------------------------

TEST_F(PinkGrains, MouldInABottleMakesThatBottleSuspectAndNamesWhereItCameFrom) {
  world.does(mould_in("flask"));
  EXPECT_EQ(stage("flask"), "suspect");
  EXPECT_EQ(stage("blue"), "working");
  EXPECT_NE(grains(), GrainsState::suspect);
  EXPECT_THAT(
      world.the("discard-kefir").text,
      AllOf(HasSubstr("Flask: mould"), HasSubstr("the batch of Tilly"), HasSubstr("do not taste"),
            HasSubstr("says nothing for certain"), HasSubstr("look at them today")));
  EXPECT_TRUE(world.the("discard-kefir").caution);
  Inspect well;
  well.jar = "flask";
  well.colour = GrainColour::white;
  world.does(well);
  EXPECT_EQ(stage("flask"), "suspect");
}

TEST_F(PinkGrains, MouldInAJarWithItsGrainsIsInTheGrains) {
  world.does(mould_in("blue"));
  EXPECT_EQ(grains(), GrainsState::suspect);
  EXPECT_EQ(stage("flask"), "suspect");
  EXPECT_THAT(world.the("discard-grains").text, HasSubstr("Tilly: mould is never usual"));
}

TEST_F(PinkGrains, WhatIsSeenIsSaidOfAJarThatHoldsSomethingAndOfItsOwnCulture) {
  EXPECT_THAT(world.says(mould_in("red")).why(),
              HasSubstr("Red jar holds nothing at " +
                        day_and_clock_text(world.now(), world.household().setup())));
  Inspect other = mould_in("flask");
  other.culture = "moor";
  EXPECT_THAT(world.says(other).why(), HasSubstr("Flask holds a batch of Tilly"));
}

}  // namespace
}  // namespace wheymark::test
