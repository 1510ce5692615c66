// One object of a document from outside, read key by key.
//
// A section knows where in the document it stands, remembers which keys somebody asked for, and
// collects a complaint for everything that is wrong, so that one run finds all of it. Whatever
// could not be read comes out as nothing; whoever finds complaints at the end throws the whole
// result away.
#pragma once

#include <limits>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/basis/words.hpp"
#include "plugin/configuration/complaint.hpp"
#include "plugin/configuration/text_forms.hpp"

namespace wheymark {

enum class Need { required, optional };

// What a number may be, both ends included; `unit` is for the sentence.
struct Range {
  double least = -std::numeric_limits<double>::infinity();
  double most = std::numeric_limits<double>::infinity();
  std::string_view unit{};
};

class Section {
 public:
  // `value` and `complaints` must outlive the section. A value that is no object is complained
  // about here; the section is then empty and complains of nothing else.
  Section(const nlohmann::json& value, std::string pointer, Complaints& complaints);

  // Each returns what stands at the key. A missing required key, another type, a value that is not
  // allowed is complained about and returns nothing, as does a key that is not there.
  std::optional<std::string> text(std::string_view key, Need need, Form form);
  // An id, as id_form wants it.
  template <class SomeId>
  std::optional<SomeId> id(std::string_view key, Need need) {
    auto written = text(key, need, id_form);
    return written ? std::optional<SomeId>(std::move(*written)) : std::nullopt;
  }
  std::optional<double> number(std::string_view key, Need need, Range range = {});
  std::optional<int> whole_number(std::string_view key, Need need, Range range);
  std::optional<bool> truth(std::string_view key, Need need);
  template <class Enum>
  std::optional<Enum> word(std::string_view key, Need need);
  std::optional<Section> section(std::string_view key, Need need);
  std::vector<Section> sections(std::string_view key, Need need);   // of an array of objects
  const nlohmann::json* anything(std::string_view key, Need need);  // null when missing

  // A key that people may try and that is never right: complains with the sentence if it is there,
  // without the value, which may be a secret.
  void forbid(std::string_view key, std::string_view sentence);

  // Complains about every key that nobody asked for. Call it last.
  void refuse_unknown_keys();

  void complain(std::string_view key, std::string sentence);
  // The same about a place within the value at the key, given as a JSON Pointer from there.
  void complain_below(std::string_view key, std::string_view below, std::string sentence);
  // "found VALUE; allowed: ..." about a value that stands there.
  void complain_found(std::string_view key, std::string_view allowed);

  [[nodiscard]] std::string pointer_to(std::string_view key) const;
  [[nodiscard]] const std::string& pointer() const { return pointer_; }
  [[nodiscard]] bool has(std::string_view key) const;

 private:
  std::optional<std::string> one_of(std::string_view key, Need need,
                                    const std::vector<std::string>& words);
  [[nodiscard]] std::string found(std::string_view key) const;

  const nlohmann::json* object_;  // null when the value was none
  std::string pointer_;
  Complaints* complaints_;
  std::vector<std::string> allowed_keys_;
  std::vector<std::string> forbidden_keys_;
};

template <class Enum>
std::optional<Enum> Section::word(std::string_view key, Need need) {
  std::vector<std::string> words;
  words.reserve(Vocabulary<Enum>::words.size());
  for (const auto& entry : Vocabulary<Enum>::words) words.emplace_back(entry.text);
  const auto text = one_of(key, need, words);
  return text ? meaning_of<Enum>(*text) : std::nullopt;
}

}  // namespace wheymark
