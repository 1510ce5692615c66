// One household, and everything that a person or a hub reads of it: the outlets agree.
#include <gmock/gmock.h>

#include "tests/plugin/library/home.hpp"

namespace wheymark::test {
namespace {

using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::Not;

class Outlets : public AtHome {
 protected:
  [[nodiscard]] std::string page() { return home.instance().document_at("/", home.now())->body; }
  [[nodiscard]] std::string exported(const char* name) {
    return home.instance().export_text(name, home.now()).value();
  }
  [[nodiscard]] std::string tile(const std::string& jar) {
    return home.broker.last_on("wheymark/tile/jar-" + jar);
  }
  json plan() { return home.says({{"fact", "plan"}, {"jar", "blue"}}); }
  json explain(const char* jar = "blue") { return home.says({{"fact", "explain"}, {"jar", jar}}); }
};

TEST_F(Outlets, AllOfASuspectJarAndItsBottleSaySo) {
  home.presses("start");
  home.lives_for(24h);
  home.says({{"fact", "strain"}, {"jar", "blue"}, {"into", "bottle"}});
  home.says({{"fact", "store"}, {"jar", "bottle"}});
  home.presses("start");
  home.lives_for(4h);

  const json answer = home.says({{"fact", "inspect"}, {"culture", "tilly"}, {"colour", "pink"}});
  home.lives_for(10min);

  EXPECT_THAT(answer["why"], AllOf(HasSubstr("pink was seen in the grains of tilly"),
                                   HasSubstr("throw out as well: bottle")));
  for (const char* jar : {"blue", "bottle"}) {
    const std::string device = std::string("jar-") + jar;
    EXPECT_EQ(home.state(device + "/batch/stage"), "suspect");
    EXPECT_EQ(home.state(device + "/batch/peak-opens"), "");
    EXPECT_EQ(home.state(device + "/fridge/best-by"), "");
    EXPECT_THAT(tile(jar), AllOf(HasSubstr(">Suspect</text>"), HasSubstr(">Do not taste it</text>"),
                                 Not(HasSubstr("Strain")), Not(HasSubstr("best by"))));
    EXPECT_THAT(explain(jar)["suspect"], HasSubstr("pink was seen in the grains of tilly"));
  }
  EXPECT_NE(home.state("jar-blue/$alert/discard-grains"), "");
  EXPECT_NE(home.state("jar-bottle/$alert/discard-kefir"), "");
  EXPECT_EQ(home.state("culture-tilly/grains/state"), "suspect");
  EXPECT_EQ(home.state("culture-tilly/grains/surplus"), "");
  EXPECT_EQ(plan()["accepted"], false);
  EXPECT_THAT(plan()["why"],
              AllOf(HasSubstr("do not taste"), HasSubstr("a reserve or new grains")));
  EXPECT_THAT(page(), AllOf(HasSubstr("Suspect: pink was seen"), HasSubstr("Discard them")));
  EXPECT_THAT(home.state("place-fridge/shelf/inventory"),
              AllOf(HasSubstr("\"suspect\""), Not(HasSubstr("flavour"))));
  EXPECT_THAT(exported("inventory.txt"), AllOf(HasSubstr("suspect"), Not(HasSubstr("best by"))));
  EXPECT_THAT(exported("batches.csv"), HasSubstr(",pink"));
  EXPECT_THAT(exported("bottles.csv"), HasSubstr(",pink"));
}

// A culture was once 8 g on the page and 41.5 g in Homie.
TEST_F(Outlets, AllAddTheGrainsUpAlike) {
  home.says({{"fact", "weigh"}, {"culture", "tilly"}, {"grain_g", 41.5}});
  home.presses("start");
  const json answer = home.says({{"fact", "weigh"}, {"culture", "tilly"}, {"grain_g", 23}});
  home.lives_for(10min);

  const std::string sums = "43 g of grains: 20 g in Blue jar, 23 g free; the set-up asks for 40 g";
  EXPECT_THAT(answer["why"], HasSubstr(sums));
  EXPECT_THAT(page(), HasSubstr(sums));
  const json explained = explain();
  EXPECT_THAT(explained["why"], HasSubstr(sums));
  EXPECT_EQ(explained["grains"]["free_g"], 23.0);
  EXPECT_EQ(home.state("culture-tilly/grains/mass"), "43.0");
  EXPECT_EQ(home.state("culture-tilly/grains/in-jars"), "20.0");
  EXPECT_EQ(home.state("culture-tilly/grains/free"), "23.0");
  EXPECT_EQ(home.state("culture-tilly/grains/wanted"), "40.0");
}

TEST_F(Outlets, ATenfoldWeighingIsAskedAboutAndThenBelieved) {
  home.says({{"fact", "weigh"}, {"culture", "tilly"}, {"grain_g", 60}, {"ref", "a"}});
  json tenfold = {{"fact", "weigh"}, {"culture", "tilly"}, {"grain_g", 600}, {"ref", "b"}};
  const json asked = home.says(tenfold);
  EXPECT_EQ(asked["accepted"], false);
  EXPECT_THAT(asked["why"], AllOf(HasSubstr("60 g"), HasSubstr("600 g"), HasSubstr("\"sure\"")));
  EXPECT_EQ(home.state("culture-tilly/grains/mass"), "60.0");
  tenfold["sure"] = true;
  tenfold["ref"] = "c";
  const json believed = home.says(tenfold);
  EXPECT_EQ(believed["accepted"], true);
  EXPECT_THAT(believed["why"], HasSubstr("560 g are more than the jars want"));
  home.lives_for(1min);
  EXPECT_EQ(home.state("culture-tilly/grains/mass"), "600.0");
}

}  // namespace
}  // namespace wheymark::test
