// Whether what was told of a batch was taken back by what somebody saw, so that it may come anew.
#pragma once

#include <algorithm>
#include <map>
#include <set>
#include <string>

#include "tests/truth/month.hpp"

namespace wheymark::truth {

// Somebody looked and said less between the two: what was told is taken back, and comes anew.
inline bool looked_between(const Scene& scene, const Event& before, const Event& event) {
  static const std::set<std::string> milestones{"peak-near", "peak-open", "peak-closing",
                                                "over-fermented"};
  static const std::map<std::string, int> come{{"still-milk", 0}, {"thickened", 1},
                                               {"set", 2},        {"whey-pockets", 3},
                                               {"whey-layer", 4}, {"separated", 5}};
  if (!milestones.contains(before.kind)) return false;
  const int wanted = before.kind == "peak-near" ? 2 : before.kind == "over-fermented" ? 4 : 3;
  return std::any_of(scene.said.begin(), scene.said.end(), [&](const Said& said) {
    if (!said.accepted || said.fact.value("jar", "") != event.jar()) return false;
    if (said.at < before.heard || said.at > event.heard) return false;
    if (said.fact.at("fact") == "ph") return said.fact.at("ph") > 4.1;
    return said.fact.at("fact") == "sign" && come.at(said.fact.at("sign")) < wanted;
  });
}

}  // namespace wheymark::truth
