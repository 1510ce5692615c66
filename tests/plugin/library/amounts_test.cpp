// Volumes as a hub sees them: of each bottle, and of all kefir in the household.
#include <gmock/gmock.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

class Volumes : public Connected {
 protected:
  void SetUp() override {
    home.hears("house/kitchen", "21.0");
    home.presses("start");
    home.lives_for(22h, 21.0);
    home.says({{"fact", "strain"}, {"jar", "blue"}, {"into", "bottle"}});
  }
};

TEST_F(Volumes, ABottleShowsWhatIsLeftInItAndTheHouseholdAllOfIt) {
  EXPECT_EQ(home.state("jar-bottle/batch/kefir-volume"), "950");
  EXPECT_EQ(home.state("wheymark/stock/volume"), "0.95");
  home.says({{"fact", "pour"}, {"jar", "bottle"}, {"ml", 250}});
  EXPECT_EQ(home.state("jar-bottle/batch/kefir-volume"), "700");
  EXPECT_EQ(home.state("wheymark/stock/volume"), "0.70");
}

TEST_F(Volumes, WhatIsNotKnownYetIsEmpty) {
  EXPECT_EQ(home.state("wheymark/stock/daily"), "");
  EXPECT_EQ(home.state("wheymark/stock/lasts"), "");
  EXPECT_EQ(home.state("wheymark/stock/next-milk"), "");
  EXPECT_EQ(home.state("jar-blue/batch/kefir-volume"), "");
}

TEST_F(Volumes, APressOfPourIsAGlass) {
  EXPECT_EQ(home.sets("jar-bottle/care/step", "pour")["accepted"], true);
  EXPECT_EQ(home.state("jar-bottle/batch/kefir-volume"), "750");
}

TEST_F(Volumes, TheBottleInTheFridgeThatKeepsTheShortestIsUsedFirst) {
  home.says({{"fact", "store"}, {"jar", "bottle"}});
  EXPECT_EQ(home.state("wheymark/stock/use-first"), "bottle");
  EXPECT_EQ(json::parse(home.state("place-fridge/shelf/inventory"))[0]["ml"], 950);
}

}  // namespace
}  // namespace wheymark::test
