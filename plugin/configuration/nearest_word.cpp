#include "plugin/configuration/nearest_word.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace wheymark {
namespace {

constexpr std::size_t compared_chars_max = 64;  // a longer word is no slip of the keyboard

}  // namespace

std::size_t edits_between(std::string_view a, std::string_view b) {
  // Rows i-2, i-1 and i of the table of edits between the first i of a and the first j of b.
  std::array<std::vector<std::size_t>, 3> rows;
  for (auto& row : rows) row.resize(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) rows[0][j] = j;

  for (std::size_t i = 1; i <= a.size(); ++i) {
    auto& row = rows[i % 3];
    const auto& above = rows[(i + 2) % 3];
    const auto& two_above = rows[(i + 1) % 3];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = above[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({replaced, above[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        row[j] = std::min(row[j], two_above[j - 2] + 1);
      }
    }
  }
  return rows[a.size() % 3][b.size()];
}

std::optional<std::string> nearest_word(std::string_view written,
                                        const std::vector<std::string>& allowed) {
  if (written.empty() || written.size() > compared_chars_max) return std::nullopt;
  const std::size_t edits_max = written.size() < 6 ? 1 : 2;
  const std::string* nearest = nullptr;
  std::size_t fewest = edits_max + 1;
  for (const std::string& word : allowed) {
    const std::size_t longer = std::max(word.size(), written.size());
    const std::size_t shorter = std::min(word.size(), written.size());
    if (longer - shorter > edits_max) continue;
    const std::size_t edits = edits_between(written, word);
    // An edit must leave something of the word: "a" is no slip for "b".
    if (edits < fewest && edits < longer) {
      fewest = edits;
      nearest = &word;
    }
  }
  return nearest == nullptr ? std::nullopt : std::optional(*nearest);
}

std::string did_you_mean(std::string_view written, const std::vector<std::string>& allowed) {
  const auto nearest = nearest_word(written, allowed);
  return nearest ? fmt::format("; did you mean \"{}\"?", *nearest) : "";
}

}  // namespace wheymark
