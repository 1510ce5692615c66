// What must never be read: each rule is one small check of one look, with a name that says what
// holds. What a rule finds are two texts that cannot both be true, or a text and what was so.
#pragma once

#include <string>
#include <vector>

#include "tests/truth/month.hpp"

namespace wheymark::truth {

struct Contradiction {
  std::string about;  // "jar-blue"; the same as long as it stands
  std::string one;
  std::string other;
};

using Contradictions = std::vector<Contradiction>;

struct Rule {
  const char* name;
  Contradictions (*broken_in)(const Scene&);
  // Values that time alone moves are published up to five minutes late, which is no contradiction.
  bool may_lag = false;
};

// Two outlets that show the same thing.
const std::vector<Rule>& rules_of_agreement();
// Sentences, and what is so at their instant.
const std::vector<Rule>& rules_of_premises();
// Cautions, where their condition holds.
const std::vector<Rule>& rules_of_cautions();

}  // namespace wheymark::truth
