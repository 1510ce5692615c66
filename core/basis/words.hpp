// One table of words for each enumeration: what is written in a configuration, sent on the wire and
// kept in the journal. A word that is not in the table is refused with the whole list.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace wheymark {

template <class Enum>
struct Word {
  Enum meaning;
  std::string_view text;
};

// Specialise for an enumeration with `static constexpr std::array words{Word<E>{...}, ...};`
template <class Enum>
struct Vocabulary;

template <class Enum>
constexpr std::string_view word(Enum meaning) {
  for (const auto& entry : Vocabulary<Enum>::words) {
    if (entry.meaning == meaning) return entry.text;
  }
  return "?";
}

template <class Enum>
constexpr std::optional<Enum> meaning_of(std::string_view text) {
  for (const auto& entry : Vocabulary<Enum>::words) {
    if (entry.text == text) return entry.meaning;
  }
  return std::nullopt;
}

// All words of an enumeration, as "a, b, c".
template <class Enum>
std::string words_of() {
  std::string list;
  for (const auto& entry : Vocabulary<Enum>::words) {
    if (!list.empty()) list += ", ";
    list += entry.text;
  }
  return list;
}

}  // namespace wheymark
