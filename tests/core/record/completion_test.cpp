// What is left out comes from the setup; what is out of range or unknown is refused with what was
// found and what is allowed.
#include "core/record/completion.hpp"

#include <cmath>
#include <gtest/gtest.h>

#include "core/basis/limits.hpp"
#include "core/record/doubtful_report.hpp"
#include "tests/core/given.hpp"
#include "tests/core/household/world.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::StartsWith;

Result<Fact> complete(const Fact& fact, const HouseholdSetup& setup = small_setup(),
                      const JarBook& k = {}) {
  return completed(fact, setup, k, p, morning);
}

Start completed_start(const Start& said, const HouseholdSetup& setup = small_setup()) {
  const auto fact = complete(said, setup);
  if (!fact) throw std::runtime_error(fact.why());
  return std::get<Start>(fact.value());
}

std::string refusal_of(const Fact& fact, const HouseholdSetup& setup = small_setup()) {
  const auto done = complete(fact, setup);
  return done ? "" : done.why();
}

TEST(Completion, AStartTakesEverythingThatIsNotSaidFromTheJar) {
  const Start all = completed_start(start("blue"));
  EXPECT_EQ(all.culture, "tilly");
  EXPECT_EQ(all.milk, MilkKind::cow_whole);
  EXPECT_EQ(all.treatment, Treatment::pasteurised);
  EXPECT_EQ(all.milk_ml, 950.0);
  EXPECT_EQ(all.grain_g, 20.0);
  EXPECT_EQ(all.lid, Lid::loose);
  EXPECT_EQ(all.place, "kitchen");
  EXPECT_EQ(all.milk_c, p.milk_from_fridge_c);
  EXPECT_FALSE(all.ready_by);  // nobody asked for one
}

TEST(Completion, WhatIsSaidIsNotOverruled) {
  Start said = start("blue");
  said.culture = "moor";
  said.milk = MilkKind::goat;
  said.treatment = Treatment::raw;
  said.milk_ml = 500.0;
  said.grain_g = 12.5;
  said.lid = Lid::tight;
  said.place = "larder";
  said.milk_c = 21.0;
  said.ready_by = morning;
  EXPECT_EQ(completed_start(said), said);
}

TEST(Completion, GrainsNobodyNamedAreTheCulturesAndBeforeThatAsWeighed) {
  HouseholdSetup setup = small_setup();
  setup.jars[0].grain_g.reset();
  EXPECT_EQ(completed_start(start("blue"), setup).grain_g, 20.0);
  JarBook book;
  book.apply({1, morning, morning, {}, Weigh{"tilly", 27.0}});
  const auto fact = completed(start("blue"), setup, book, p, morning);
  ASSERT_TRUE(fact.ok());
  EXPECT_EQ(std::get<Start>(fact.value()).grain_g, 27.0);
}

TEST(Completion, TheOnlyCultureNeedsNoName) {
  HouseholdSetup setup = small_setup();
  setup.jars[0].culture.reset();
  EXPECT_THAT(refusal_of(start("blue"), setup), HasSubstr("Blue jar: say culture"));
  setup.cultures = {setup.cultures.front()};
  EXPECT_EQ(completed_start(start("blue"), setup).culture, "tilly");
}

TEST(Completion, EverythingThatIsMissingIsNamedAtOnce) {
  EXPECT_EQ(refusal_of(start("bottle")),
            "Bottle: say culture, milk, milk_ml, grain_g, or give it in the jar's configuration");
}

TEST(Completion, UnknownNamesAreRefusedWithThoseThatThereAre) {
  for (const Fact& fact :
       {Fact{start("blu")}, Fact{SignSeen{"blu", Sign::set}}, Fact{PhMeasured{"blu", 4.5}},
        Fact{Move{"blu", "kitchen"}}, Fact{LidPut{"blu", Lid::loose}}, Fact{strain("blu")},
        Fact{strain_into("blue", "blu")}, Fact{store("blu")}, Fact{take_out("blu")},
        Fact{Finish{"blu"}}, Fact{discard("blu")}}) {
    EXPECT_EQ(refusal_of(fact), "no jar is called \"blu\"; there are: blue, red, bottle, flask")
        << fact_words[fact.index()];
  }
  Start elsewhere = start("blue");
  elsewhere.place = "cellar";
  for (const Fact& fact : {Fact{elsewhere}, Fact{Move{"blue", "cellar"}},
                           Fact{StoreAway{"bottle", "cellar"}}, Fact{Take{"bottle", "cellar"}}}) {
    EXPECT_EQ(refusal_of(fact),
              "no place is called \"cellar\"; there are: kitchen, larder, attic, fridge")
        << fact_words[fact.index()];
  }
  Start unknown = start("blue");
  unknown.culture = "till";
  EXPECT_EQ(refusal_of(unknown), "no culture is called \"till\"; there are: tilly, moor");
  EXPECT_EQ(refusal_of(Weigh{"till", 20.0}),
            "no culture is called \"till\"; there are: tilly, moor");
}

// --- ranges -------------------------------------------------------------------------------------

template <class Change>
Start start_with(Change change) {
  Start said = start("blue");
  change(said);
  return said;
}

TEST(Completion, NumbersAreAllowedAtTheirLimitsAndRefusedBeyond) {
  struct Number {
    const char* name;
    double min;
    double max;
    std::function<Fact(double)> fact;
    HouseholdSetup setup = small_setup();
  };
  HouseholdSetup vat = small_setup();
  vat.jars[0].capacity_ml = 50'000.0;
  const auto milk_ml = [](double v) {
    return Fact{start_with([&](Start& s) {
      s.milk_ml = v;
      s.grain_g = 1.0;
    })};
  };
  const std::vector<Number> numbers{
      {"the milk's volume", limits::milk_ml_min, 1250.0, milk_ml},
      {"the milk's volume", limits::milk_ml_min, limits::milk_ml_max, milk_ml, vat},
      {"the grains' mass", limits::grain_g_min, limits::grain_g_max,
       [](double v) {
         return Fact{start_with([&](Start& s) {
           s.grain_g = v;
           s.milk_ml = 20'000.0;
         })};
       },
       vat},
      {"the milk's temperature", limits::milk_c_min, limits::milk_c_max,
       [](double v) { return Fact{start_with([&](Start& s) { s.milk_c = v; })}; }},
      {"the pH", limits::ph_min, limits::ph_max,
       [](double v) {
         return Fact{PhMeasured{"blue", v}};
       }},
      {"the grains' mass", limits::grain_g_min, limits::grain_g_max,
       [](double v) {
         return Fact{Weigh{"tilly", v}};
       }},
      {"the grains' mass", limits::grain_g_min, limits::grain_g_max, [](double v) {
         Strain said = strain("blue");
         said.grain_g = v;
         return Fact{said};
       }}};
  for (const Number& number : numbers) {
    EXPECT_EQ(refusal_of(number.fact(number.min), number.setup), "");
    EXPECT_EQ(refusal_of(number.fact(number.max), number.setup), "");
    for (const double beyond : {std::nextafter(number.min, -1e9), std::nextafter(number.max, 1e9),
                                -1.0, 1e300, std::nan(""), HUGE_VAL, -HUGE_VAL}) {
      EXPECT_THAT(refusal_of(number.fact(beyond), number.setup),
                  AllOf(StartsWith(std::string(number.name) + " is "),
                        HasSubstr(fmt::format("allowed are {} to {}", number.min, number.max))))
          << beyond;
    }
  }
}

TEST(Completion, MoreGrainsThanHalfTheMilkAreNoBatch) {
  const auto said = [](double grain_g) {
    return start_with([&](Start& s) {
      s.milk_ml = 400.0;
      s.grain_g = grain_g;
    });
  };
  EXPECT_EQ(refusal_of(said(200.0)), "");
  EXPECT_THAT(refusal_of(said(201.0)), StartsWith("the grains' share of the milk is 0.5025 "));
}

// --- fridges ------------------------------------------------------------------------------------

TEST(Completion, KefirIsStoredInTheJarsOwnFridgeElseInTheFirst) {
  HouseholdSetup setup = small_setup();
  setup.places.push_back({"cool-box", "Cool box", PlaceKind::fridge, false, 45min});
  setup.jars[3].place = "cool-box";
  const auto place_of = [&](const JarId& jar) {
    return *std::get<StoreAway>(complete(store(jar), setup).value()).place;
  };
  EXPECT_EQ(place_of("flask"), "cool-box");
  EXPECT_EQ(place_of("bottle"), "fridge");
  EXPECT_EQ(place_of("blue"), "fridge");  // whose own place is a room
}

TEST(Completion, KefirIsNotStoredInARoomNorWithoutAFridge) {
  EXPECT_EQ(refusal_of(StoreAway{"bottle", "kitchen"}),
            "\"kitchen\" is a room; kefir is stored in a fridge");
  HouseholdSetup setup = small_setup();
  setup.places = {setup.places.front()};
  setup.jars = {setup.jars[0], setup.jars[1]};
  EXPECT_EQ(refusal_of(store("blue"), setup),
            "no place of kind \"fridge\" is configured to store it in");
}

// --- when it happened ---------------------------------------------------------------------------

TEST(Completion, WithoutAnInstantItHappensNow) {
  EXPECT_EQ(happened_at({}, morning, small_setup()).value(), morning);
}

TEST(Completion, ASendersClockMayBeALittleAheadAndThenItIsNow) {
  EXPECT_EQ(happened_at(morning + limits::ahead_of_clock_max, morning, small_setup()).value(),
            morning);
  const auto ahead =
      happened_at(morning + limits::ahead_of_clock_max + 1ms, morning, small_setup());
  ASSERT_FALSE(ahead);
  EXPECT_EQ(ahead.why(),
            "\"at\" is Mon 1 Mar 08:05, which is still to come; it is Mon 1 Mar 08:00");
}

TEST(Completion, TwoWeeksBackCanBeToldAndNoMore) {
  EXPECT_TRUE(happened_at(morning - limits::fact_age_max, morning, small_setup()));
  const auto old = happened_at(morning - limits::fact_age_max - 1ms, morning, small_setup());
  ASSERT_FALSE(old);
  EXPECT_EQ(old.why(),
            "\"at\" is Mon 15 Feb 08:00, longer ago than the 14 days that can still be told");
  EXPECT_FALSE(happened_at(Instant{}, morning, small_setup()));  // 1970
}

}  // namespace
}  // namespace wheymark::test
