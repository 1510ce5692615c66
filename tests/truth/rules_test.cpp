// Each rule can fail: a look in which all is well, and for each rule what breaks it.
#include "tests/truth/rules.hpp"

#include <functional>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace wheymark::truth {
namespace {

constexpr Ms began = 1'822'867'200'000;  // 2027-10-07T00:00:00Z

// A jar with its grains and a bottle in the fridge, and what is read of them.
struct Home {
  Home() : kitchen(a_kitchen()), memory(kitchen) {
    says(began + 8 * hour, {{"fact", "start"}, {"jar", "blue"}, {"ref", "r1"}});
    says(began + 30 * hour,
         {{"fact", "strain"}, {"jar", "blue"}, {"into", "b1"}, {"ref", "r2"}, {"lid", "loose"}});
    says(began + 31 * hour, {{"fact", "store"}, {"jar", "b1"}, {"ref", "r3"}});
    says(began + 32 * hour, {{"fact", "start"}, {"jar", "blue"}, {"ref", "r4"}});
    outlets.at = began + 40 * hour;
    shows("blue", {{"batch/stage", "working"},
                   {"batch/lid", "loose"},
                   {"batch/place", "kitchen"},
                   {"batch/started", "2027-10-08T08:00:00Z"},
                   {"batch/ph", "6.20"},
                   {"batch/milk-temperature", "20.0"},
                   {"batch/peak-opens", "2027-10-09T08:00:00Z"}});
    shows("b1", {{"batch/stage", "fridge"},
                 {"batch/lid", "loose"},
                 {"batch/place", "fridge"},
                 {"batch/started", "2027-10-07T08:00:00Z"},
                 {"fridge/stored", "2027-10-08T07:00:00Z"},
                 {"fridge/age", "0.4"},
                 {"fridge/best-by", "2027-10-22T07:00:00Z"},
                 {"fridge/last-day", "2027-10-29T07:00:00Z"}});
    outlets.retained["homie/5/place-fridge/shelf/bottles"] = "1";
    outlets.retained["homie/5/culture-tilly/grains/mass"] = "40.0";
    outlets.retained["homie/5/culture-tilly/grains/state"] = "working";
    reads("blue", "Working",
          "The blue jar: Working. Strain about Sat 08:00. The milk is at 20.0 °C.");
    reads("b1", "In the fridge",
          "Bottle 1: In the fridge. stored today, best by Fri 22 Oct, last day Fri 29 Oct.");
    outlets.page.fridge = {{"Bottle 1", "0.4 d", "950 mL", "Fri 22 Oct", "Fri 29 Oct"}};
    outlets.page.grains["tilly"] = "40 g of grains, pace 1.0 (0.7 to 1.4)";
  }

  static Kitchen a_kitchen() {
    Kitchen made;
    made.rooms = {{"kitchen", false, true}, {"larder", false, true}, {"fridge", true, true}};
    made.cultures = {"tilly"};
    made.jars = {{"blue", "The blue jar", 1250.0, "kitchen", "tilly"}};
    made.bottles = {{"b1", "Bottle 1", 1000.0, "fridge", ""}};
    made.configuration = R"({"jars":[{"id":"blue","place":"kitchen","culture":"tilly"},
                                     {"id":"b1","place":"fridge"}]})";
    return made;
  }

  void says(Ms at, const nlohmann::json& fact) { memory.accepts(fact, at); }
  void shows(const std::string& jar, const std::map<std::string, std::string>& values) {
    for (const auto& [below, value] : values) {
      outlets.retained.insert_or_assign("homie/5/jar-" + jar + "/" + below, value);
    }
  }
  void reads(const std::string& jar, const std::string& headline, const std::string& spoken) {
    outlets.tiles[jar] = {headline, {}, spoken};
    outlets.page.headlines[jar] = headline;
    outlets.page.spoken[jar] = spoken;
  }
  Event& hears(const std::string& kind, const std::string& subject, const std::string& text,
               nlohmann::json data = nlohmann::json::object()) {
    Event event;
    event.kind = kind;
    event.subject = subject;
    event.id = fmt::format("{}.{}.{}", subject, kind, news.size());
    event.time = event.heard = outlets.at;
    event.text = text;
    event.data = std::move(data);
    news.push_back(event);
    return news.back();
  }
  void heard_before(const std::string& kind, const nlohmann::json& data) {
    Event event;
    event.kind = kind;
    event.subject = "jar-blue";
    event.id = "earlier";
    event.time = event.heard = outlets.at - hour;
    event.data = data;
    history.push_back(event);
  }
  // Air of so many degrees, twice an hour, since the beginning.
  void is_warm(double c) {
    for (Ms at = began; at <= outlets.at; at += hour / 2) air["kitchen"].emplace_back(at, c);
  }

  [[nodiscard]] Contradictions broken_by(const Rule& rule) {
    std::vector<Event> all = history;
    all.insert(all.end(), news.begin(), news.end());
    return rule.broken_in({kitchen, memory, outlets, news, all, said, air});
  }

  Kitchen kitchen;
  Memory memory;
  Outlets outlets;
  std::vector<Event> news, history;
  std::vector<Said> said;
  std::map<std::string, std::vector<std::pair<Ms, double>>> air;
};

using Breaks = std::function<void(Home&)>;

const std::map<std::string, Breaks>& what_breaks_each() {
  static const nlohmann::json of_batch{{"batch_started", "2027-10-08T08:00:00Z"}};
  static const std::map<std::string, Breaks> all{
      {"a jar has one stage", [](Home& h) { h.outlets.tiles["blue"].headline = "Set"; }},
      {"a bottle has one best-by date and one last day",
       [](Home& h) { h.outlets.page.fridge[0].best_by = "Sat 23 Oct"; }},
      {"an event's dates are those of its numbers",
       [](Home& h) {
         h.hears("stored", "jar-b1", "Best by Sat 23 Oct.", {{"best_by", "2027-10-22T07:00:00Z"}});
       }},
      {"every outlet lists the same bottles in the fridge",
       [](Home& h) { h.outlets.page.fridge.clear(); }},
      {"a bottle has one age", [](Home& h) { h.outlets.page.fridge[0].age = "9 d"; }},
      {"a tile says what Homie says",
       [](Home& h) { h.outlets.tiles["blue"].spoken = "Working. The milk is at 25.0 °C."; }},
      {"the tile is the same on the bus and on the page",
       [](Home& h) {
         h.outlets.in_full = true;
         h.outlets.exported = {{"bottles", nlohmann::json::array()}};
         h.outlets.retained["wheymark/tile/jar-blue"] = "<svg><desc id=\"d\">Other</desc></svg>";
       }},
      {"a culture has one mass", [](Home& h) { h.outlets.page.grains["tilly"] = "8 g of grains"; }},
      {"an explanation says what Homie says",
       [](Home& h) {
         h.outlets.explained["blue"] = {{"stage", "working"},
                                        {"ph", 5.1},
                                        {"milk_c", 20.0},
                                        {"peak_opens", {{"p50", "2027-10-09T08:00:00Z"}}}};
       }},
      {"an empty jar is empty everywhere",
       [](Home& h) {
         h.shows("blue", {{"batch/stage", "empty"}});
       }},
      {"lid, place and start are what was said",
       [](Home& h) {
         h.shows("blue", {{"batch/lid", "tight"}});
       }},
      {"what is told to be in the fridge is there",
       [](Home& h) { h.hears("stored", "jar-blue", "The blue jar: in the fridge since Fri."); }},
      {"a date that is to come has not passed",
       [](Home& h) {
         h.hears("stored", "jar-b1", "Best by Wed 6 Oct.", {{"best_by", "2027-10-06T07:00:00Z"}});
       }},
      {"only a jar with its grains is to be strained",
       [](Home& h) { h.hears("peak-open", "jar-b1", "Bottle 1: Strain it."); }},
      {"a stage of fermenting is that of a jar with grains",
       [](Home& h) {
         h.shows("b1", {{"batch/stage", "peak"}});
       }},
      {"what is in the fridge has a stage of the fridge",
       [](Home& h) {
         h.shows("b1", {{"batch/stage", "strained"}});
       }},
      {"what is told in one instant goes together",
       [](Home& h) {
         h.hears("peak-near", "jar-blue", "near");
         h.hears("over-fermented", "jar-blue", "over");
       }},
      {"nothing is told twice",
       [](Home& h) {
         h.heard_before("peak-open", of_batch);
         h.hears("peak-open", "jar-blue", "again", of_batch);
       }},
      {"what is told of a batch does not go back",
       [](Home& h) {
         h.heard_before("over-fermented", of_batch);
         h.hears("peak-near", "jar-blue", "near", of_batch);
       }},
      {"a peak that is to come has not passed",
       [](Home& h) {
         h.shows("blue", {{"batch/peak-opens", "2027-10-08T09:00:00Z"}});
       }},
      {"a plan can be followed",
       [](Home& h) {
         h.shows("blue", {{"batch/stage", "over-fermented"}});
         h.outlets.planned["blue"] = {{"why", "Leave it where it is."}};
       }},
      {"a refusal's reason is so",
       [](Home& h) {
         h.said.push_back({h.outlets.at,
                           {{"fact", "strain"}, {"jar", "blue"}, {"ref", "r9"}},
                           false,
                           "The blue jar holds nothing"});
       }},
      {"only a tight lid is to be vented",
       [](Home& h) { h.hears("vent-lid", "jar-blue", "Open it."); }},
      {"grains in milk are told as such",
       [](Home& h) { h.outlets.retained["homie/5/culture-tilly/grains/state"] = "idle"; }},
      {"a room is too warm or too cold for grains that stand there",
       [](Home& h) { h.hears("room-too-warm", "place-larder", "The larder is very warm."); }},
      {"each kind that can harm carries its caution",
       [](Home& h) { h.hears("vent-lid", "jar-blue", "Open it.").caution = "Good luck."; }},
      {"raw milk carries its caution",
       [](Home& h) {
         h.says(h.outlets.at, {{"fact", "discard"}, {"jar", "blue"}, {"ref", "r5"}});
         h.says(h.outlets.at,
                {{"fact", "start"}, {"jar", "blue"}, {"treatment", "raw"}, {"ref", "r6"}});
       }},
      {"a tight lid is told of in time",
       [](Home& h) {
         h.says(h.outlets.at - 5 * hour,
                {{"fact", "lid"}, {"jar", "blue"}, {"lid", "tight"}, {"ref", "r5"}});
         h.outlets.at += 30 * hour;
       }},
      {"an alert stands while gas presses",
       [](Home& h) {
         h.shows("blue", {{"batch/pressure", "150"}});
       }},
      {"what suspect grains made carries a caution",
       [](Home& h) {
         h.says(h.outlets.at,
                {{"fact", "inspect"}, {"culture", "tilly"}, {"colour", "pink"}, {"ref", "r5"}});
         h.hears("peak-near", "jar-blue", "Have strainer and bottle ready.");
       }},
      {"what is to be used first may be tasted",
       [](Home& h) {
         h.outlets.retained["homie/5/wheymark/stock/use-first"] = "b1";
         h.shows("b1", {{"batch/stage", "suspect"}});
       }},
      {"kefir that stands warm for days is told of",
       [](Home& h) {
         h.says(h.outlets.at, {{"fact", "strain"}, {"jar", "blue"}, {"ref", "r5"}});
         h.outlets.at += 100 * hour;
         h.is_warm(22.0);
       }},
      {"milk that does not sour is told of", [](Home& h) {
         h.outlets.at += 40 * hour;
         h.is_warm(22.0);
         h.says(h.outlets.at,
                {{"fact", "sign"}, {"jar", "blue"}, {"sign", "still-milk"}, {"ref", "r5"}});
       }}};
  return all;
}

std::vector<Rule> all_rules() {
  std::vector<Rule> all;
  for (const auto* rules : {&rules_of_agreement(), &rules_of_premises(), &rules_of_cautions()}) {
    all.insert(all.end(), rules->begin(), rules->end());
  }
  return all;
}

TEST(Rules, FindNothingWhereAllIsWell) {
  for (const Rule& rule : all_rules()) {
    const Contradictions found = Home().broken_by(rule);
    EXPECT_TRUE(found.empty()) << rule.name << ": " << found.front().one << " / "
                               << found.front().other;
  }
}

TEST(Rules, FindEachOneWhatBreaksIt) {
  for (const Rule& rule : all_rules()) {
    const auto breaks = what_breaks_each().find(rule.name);
    ASSERT_NE(breaks, what_breaks_each().end()) << "nothing breaks: " << rule.name;
    Home home;
    breaks->second(home);
    EXPECT_FALSE(home.broken_by(rule).empty()) << rule.name;
  }
}

}  // namespace
}  // namespace wheymark::truth
