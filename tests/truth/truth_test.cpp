// Generated months: whatever people do, no two outlets contradict each other, no sentence has a
// premise that is false at its instant, and no caution is missing where its condition holds.
//
// WHEYMARK_MONTHS=FROM:TO runs other months than the few that run always, for example 1000:3000; a
// table of what was found, by rule, is printed at the end.
#include <cstdlib>
#include <gtest/gtest.h>
#include <set>
#include <string>

#include "tests/truth/rules.hpp"

namespace wheymark::truth {
namespace {

std::pair<std::uint64_t, std::uint64_t> seeds(std::uint64_t part, std::uint64_t parts) {
  std::uint64_t from = 1;
  std::uint64_t to = 4;
  if (const char* asked = std::getenv("WHEYMARK_MONTHS")) {
    const std::string text = asked;
    from = std::stoull(text);
    to = text.find(':') == std::string::npos ? from : std::stoull(text.substr(text.find(':') + 1));
  }
  const std::uint64_t count = to - from + 1;
  return {from + count * part / parts, from + count * (part + 1) / parts};
}

std::string story_of(const Month& month, Ms until) {
  std::string story;
  std::size_t from = month.said().size() > 8 ? month.said().size() - 8 : 0;
  for (; from < month.said().size(); ++from) {
    const Said& said = month.said()[from];
    if (said.at > until) break;
    story += fmt::format("  {} {} {}{}\n", day_of(said.at, 0), clock_of(said.at, 0),
                         said.fact.dump(), said.accepted ? "" : " REFUSED: " + said.why);
  }
  return story;
}

// What was found in one month or in many: each contradiction once for as long as it stands.
class Search {
 public:
  void lives(std::uint64_t seed) {
    Month month(seed);
    standing_.clear();
    month.lives([&](const Scene& scene, bool again) { return judges(scene, again, seed, month); });
    looks += month.looks();
    events += month.history().size();
    said += month.said().size();
  }

  std::map<std::string, int> counts;         // by rule
  std::map<std::string, std::string> first;  // the first of each rule
  std::size_t looks = 0, events = 0, said = 0;

 private:
  bool judges(const Scene& scene, bool again, std::uint64_t seed, const Month& month) {
    bool doubts = false;
    for (const auto* rules : {&rules_of_agreement(), &rules_of_premises(), &rules_of_cautions()}) {
      for (const Rule& rule : *rules) {
        if (again && !rule.may_lag) continue;
        std::set<std::string> now;
        for (const Contradiction& found : rule.broken_in(scene)) {
          const std::string key = std::string(rule.name) + " | " + found.about;
          now.insert(key);
          if (standing_.contains(key)) continue;
          if (rule.may_lag && !again) {
            doubts = true;
            continue;
          }
          standing_.insert(key);
          if (++counts[rule.name] > 1) continue;
          first[rule.name] =
              fmt::format("seed {}, {} {} UTC: {}\n  {}\n  {}\n{}", seed,
                          day_of(scene.outlets.at, 0), clock_of(scene.outlets.at, 0), found.about,
                          found.one, found.other, story_of(month, scene.outlets.at));
        }
        if (rule.may_lag) {
          std::erase_if(standing_, [&](const std::string& key) {
            return key.starts_with(std::string(rule.name) + " | ") && !now.contains(key);
          });
        }
      }
    }
    return doubts;
  }

  std::set<std::string> standing_;
};

// In four parts, so that processors share the work.
class Truth : public testing::TestWithParam<int> {};

TEST_P(Truth, IsOneInEveryOutletOfAGeneratedMonth) {
  const auto [from, to] = seeds(static_cast<std::uint64_t>(GetParam()), 4);
  Search search;
  for (std::uint64_t seed = from; seed < to; ++seed) search.lives(seed);
  fmt::print("{} months: {} looks, {} sayings, {} events\n", to - from, search.looks, search.said,
             search.events);
  for (const auto* rules : {&rules_of_agreement(), &rules_of_premises(), &rules_of_cautions()}) {
    for (const Rule& rule : *rules) {
      fmt::print("{:6} {}\n", search.counts[rule.name], rule.name);
    }
  }
  for (const auto* rules : {&rules_of_agreement(), &rules_of_premises(), &rules_of_cautions()}) {
    for (const Rule& rule : *rules) {
      EXPECT_EQ(search.counts[rule.name], 0) << rule.name << "\n" << search.first[rule.name];
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Quarters, Truth, testing::Range(0, 4));

}  // namespace
}  // namespace wheymark::truth
