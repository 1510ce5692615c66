// Which of the allowed words did somebody probably mean?
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace wheymark {

// The number of letters to put in, take out, replace or swap with their neighbour to turn one word
// into the other (optimal string alignment). Bytes count as letters. Costs the product of lengths.
std::size_t edits_between(std::string_view a, std::string_view b);

// The allowed word that is nearest to `written`, if it is near enough to be a slip: one edit in a
// short word, two from six letters on. The first of several equally near ones.
std::optional<std::string> nearest_word(std::string_view written,
                                        const std::vector<std::string>& allowed);

// "; did you mean "topic"?" or nothing, to end a sentence with.
std::string did_you_mean(std::string_view written, const std::vector<std::string>& allowed);

}  // namespace wheymark
