// Do kefir and yoghurt sour in the cold as published studies saw, and do the dates agree with them?
// What a household sees of it: replayed_storage_test.cpp.
#include <cmath>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <map>

#include "core/household/stored_kefir.hpp"
#include "core/kinetics/cold_storage.hpp"
#include "core/kinetics/gas.hpp"
#include "core/kinetics/milk.hpp"
#include "tests/core/given.hpp"
#include "tests/reference/published.hpp"

namespace wheymark::published {
namespace {

using namespace literals;

struct Stored {
  double days;
  double ph;
  double acidity_percent;  // NaN where not published
};

std::map<std::string, std::vector<Stored>> stored_sets() {
  std::map<std::string, std::vector<Stored>> sets;
  for (const Table& t : tables("storage")) {
    for (const auto& row : t.rows) {
      const Celsius fridge(number(row.at("temperature_c")));
      sets[t.name + ", " + row.at("set")].push_back(
          {number(row.at("day")) * ageing_rate(fridge, p), number(row.at("ph")),
           row.at("acidity_percent").empty() ? NAN : number(row.at("acidity_percent"))});
    }
  }
  return sets;
}

// From the first published pH; where it stood on its first day, part of the gain is over already.
ColdState computed(const Buffering& milk, const Stored& first, double days) {
  const double gained_g_per_l =
      p.cold_acid_most_g_per_l * (1 - std::exp(-first.days / p.cold_acid_days));
  return cold_state(milk, milk.acid_g_per_l(first.ph) - gained_g_per_l, days, p);
}

// Yoghurts gain between 0.16 and 0.41 pH in four weeks by their starters, kefirs 0.05 to 0.23 in
// one or two: one curve for all can be no closer than 0.25.
TEST(PublishedStorage, ThePhOfEverySampleIsMetWithinAQuarter) {
  const Buffering milk(composition(MilkKind::cow_whole), p);
  for (const auto& [name, samples] : stored_sets()) {
    for (const Stored& s : samples) {
      const double off = computed(milk, samples.front(), s.days).ph - s.ph;
      fmt::print("{:30} day {:4.0f}  pH {:.2f}  error {:+.2f}\n", name, s.days, s.ph, off);
      EXPECT_NEAR(off, 0.0, 0.25) << name << ' ' << s.days;
    }
  }
}

TEST(PublishedStorage, TheErrorsOfThePhCancel) {
  const Buffering milk(composition(MilkKind::cow_whole), p);
  double sum = 0, n = 0;
  for (const auto& [name, samples] : stored_sets()) {
    sum += computed(milk, samples.front(), samples.back().days).ph - samples.back().ph;
    ++n;
  }
  EXPECT_NEAR(sum / n, 0.0, 0.10);
}

// A kefir gained 0.11 % in four weeks, two yoghurts 0.28 and 0.39: kefirs are what is followed.
TEST(PublishedStorage, TheGainOfAcidityLiesBetweenAKefirsAndTheYoghurts) {
  const Buffering milk(composition(MilkKind::cow_whole), p);
  int sets = 0;
  for (const auto& [name, samples] : stored_sets()) {
    const Stored& first = samples.front();
    const Stored& last = samples.back();
    if (std::isnan(last.acidity_percent)) continue;
    const double published = last.acidity_percent - first.acidity_percent;
    const double gained = computed(milk, first, last.days).acidity_percent -
                          computed(milk, first, first.days).acidity_percent;
    fmt::print("{:30} gain of acidity {:.3f}, published {:.3f} %\n", name, gained, published);
    const bool kefir = name.starts_with("leonardi2012");
    EXPECT_EQ(gained > published, kefir) << name;
    EXPECT_LT(std::abs(gained - published), kefir ? published : 0.75 * published) << name;
    ++sets;
  }
  EXPECT_EQ(sets, 3);
}

TEST(PublishedStorage, AlcoholAfterThreeWeeksLiesBetweenThePapers) {
  // [guzelseydim2000] 0.08 % by day 21; [koktas2013] up to 5147 mg/L in 21 days, 76.5 at the least;
  // [yoo2013] up to 1.36 % in one process. One number for all: inside the first two.
  const Buffering milk(composition(MilkKind::cow_whole), p);
  const double ethanol_g_per_l = cold_state(milk, 7.0, 21, p).ethanol_g_per_l;
  EXPECT_GT(ethanol_g_per_l, 0.8);
  EXPECT_LT(ethanol_g_per_l, 5.147);
}

TEST(PublishedStorage, GasGoesOnAfterTheAcidHasCome) {
  // [gronnevik2011] yeasts, gas and alcohol rise through eight weeks, bacteria fall after four.
  const Buffering milk(composition(MilkKind::cow_whole), p);
  const auto at = [&](double days) { return cold_state(milk, 7.0, days, p); };
  const double early_acid = at(28).acidity_percent - at(0).acidity_percent;
  const double late_acid = at(56).acidity_percent - at(28).acidity_percent;
  EXPECT_LT(late_acid, 0.1 * early_acid);
  EXPECT_NEAR(at(56).carbon_dioxide_g_per_l, 2 * at(28).carbon_dioxide_g_per_l, 1e-9);
}

TEST(PublishedStorage, AWarmerFridgeMakesSourerKefir) {
  // [setyawardani2015] goat's kefir: sourest after 10 days at 6 to 10 degC, of -5 to 10 degC.
  const Buffering milk(composition(MilkKind::goat), p);
  const auto after_ten_days = [&](double fridge_c) {
    return cold_state(milk, 7.0, 10 * ageing_rate(Celsius(fridge_c), p), p);
  };
  EXPECT_GT(after_ten_days(8).acidity_percent, after_ten_days(3).acidity_percent);
  EXPECT_LT(after_ten_days(8).ph, after_ten_days(3).ph);
}

TEST(PublishedStorage, TheDatesAgreeWithWhatPanelsTasted) {
  // [itjfs1803] over 35 days at 4 degC cow's kefir was liked best on day 14, goat's on day 21; two
  // to three weeks is common practice; [chandan2011] cultured buttermilk keeps three to four weeks.
  EXPECT_EQ(best_by_after, std::chrono::days{14});
  EXPECT_EQ(last_day_after, std::chrono::days{21});
}

TEST(PublishedStorage, AFridgeAtTenDegreesTakesAboutHalfOfTheTime) {
  // Ethanol by kefir's yeasts [gorsek2010] doubles in about 8 K near 20 degC, so 6 K are 1.5 to 2.
  const double rate = ageing_rate(10.0_degC, p);
  EXPECT_GT(rate, 1.5);
  EXPECT_LT(rate, 2.0);
}

}  // namespace
}  // namespace wheymark::published
