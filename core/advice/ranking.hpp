// Of many ranked ways, which few are shown, and is any of them worth following?
#pragma once

#include <algorithm>
#include <vector>

namespace wheymark {

inline constexpr std::size_t ways_told_max = 3;
// Below this chance, no way is good.
inline constexpr double good_chance = 0.5;

// The first of `ranked`, and those after it that clearly differ from each one chosen before.
template <class Way, class Differ>
std::vector<Way> best_that_differ(const std::vector<Way>& ranked, Differ clearly_differ) {
  std::vector<Way> best;
  for (const Way& way : ranked) {
    if (best.size() == ways_told_max) break;
    const bool is_new = std::all_of(best.begin(), best.end(),
                                    [&](const Way& told) { return clearly_differ(told, way); });
    if (is_new) best.push_back(way);
  }
  return best;
}

// Whether any is more likely than not to be in time.
template <class Way>
bool is_any_good(const std::vector<Way>& ways) {
  return std::any_of(ways.begin(), ways.end(),
                     [](const Way& way) { return way.chance >= good_chance; });
}

}  // namespace wheymark
