#include "plugin/wire/fact_json.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "plugin/configuration/milk_word.hpp"
#include "plugin/configuration/nearest_word.hpp"
#include "plugin/configuration/section.hpp"
#include "plugin/wire/fact_fields.hpp"
#include "plugin/wire/implied_jar.hpp"
#include "plugin/wire/instant_field.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/question.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

constexpr std::string_view record_named = "fact-";

// Fills in fields from a report. Where one is missing or wrong, the section complains and the
// half-read fact is thrown away. A field that is no std::optional is required; a missing `bool` is
// false.
class FieldReader {
 public:
  FieldReader(Section& said, const std::optional<JarId>& implied_jar)
      : said_(said), implied_jar_(implied_jar) {}

  void jar(JarId& jar) {
    jar = jar_said_or_implied(said_, Need::required, implied_jar_).value_or(JarId());
  }
  // One of the two, or both. On a jar's own topic a culture that is named is meant, and not its
  // jar.
  void culture_or_jar(std::optional<CultureId>& culture, std::optional<JarId>& jar) {
    culture = said_.id<CultureId>("culture", Need::optional);
    const bool implies = implied_jar_ && !culture;
    jar = jar_said_or_implied(said_, Need::optional, implies ? implied_jar_ : std::nullopt);
    if (!said_.has("culture") && !jar) {
      said_.complain("culture", "found nothing; required: a culture, or a jar");
    }
  }
  // "fact-12", as an answer names a record.
  void record(std::string_view key, std::optional<std::uint64_t>& number) {
    const auto text = said_.text(key, Need::optional, remark_form);
    if (!text) return;
    std::uint64_t read = 0;
    const char* const end = text->data() + text->size();
    const bool named = text->starts_with(record_named);
    const char* const digits = named ? text->data() + record_named.size() : end;
    const auto [last, error] = std::from_chars(digits, end, read);
    if (error != std::errc{} || last != end) {
      return said_.complain_found(key, "the \"id\" of an answer, such as \"fact-12\"");
    }
    number = read;
  }
  template <class Thing>
  void operator()(std::string_view key, Id<Thing>& id) {
    id = said_.id<Id<Thing>>(key, Need::required).value_or(Id<Thing>());
  }
  template <class Thing>
  void operator()(std::string_view key, std::optional<Id<Thing>>& id) {
    id = said_.id<Id<Thing>>(key, Need::optional);
  }
  void remark(std::string_view key, std::string& text) {
    text = said_.text(key, Need::required, remark_form).value_or("");
  }
  void remark(std::string_view key, std::optional<std::string>& text) {
    text = said_.text(key, Need::optional, remark_form);
  }

  void operator()(std::string_view key, double& value) {
    value = said_.number(key, Need::required).value_or(0.0);
  }
  void operator()(std::string_view key, std::optional<double>& value) {
    value = said_.number(key, Need::optional);
  }
  void operator()(std::string_view key, bool& value) {
    value = said_.truth(key, Need::optional).value_or(false);
  }
  void operator()(std::string_view key, std::optional<bool>& value) {
    value = said_.truth(key, Need::optional);
  }
  void operator()(std::string_view key, Instant& value) {
    if (!said_.has(key)) said_.complain(key, "found nothing; required: an instant, RFC 3339");
    value = instant_in(said_, key).value_or(Instant{});
  }
  void operator()(std::string_view key, std::optional<Instant>& value) {
    value = instant_in(said_, key);
  }
  void operator()(std::string_view key, std::optional<MilkKind>& value) {
    value = milk_in(said_, key, Need::optional);
  }
  void operator()(std::string_view key, std::optional<Treatment>& value) {
    value = treatment_in(said_, key, Need::optional);
  }
  // The id of one bottle, or a list of bottles.
  void operator()(std::string_view key, std::vector<Portion>& into) {
    const json* const value = said_.anything(key, Need::optional);
    if (value == nullptr) return;
    if (!value->is_array()) {
      if (const auto id = said_.id<JarId>(key, Need::optional)) into = {{*id}};
      return;
    }
    if (value->empty()) said_.complain_found(key, "a jar's id, or a list of at least one bottle");
    read_parts(key, into);
  }
  void operator()(std::string_view key, std::vector<UsualBatch>& batches) {
    const json* const value = said_.anything(key, Need::required);
    if (value == nullptr) return;
    if (value->is_array() && !value->empty() && value->size() <= limits::usual_max) {
      return read_parts(key, batches);
    }
    said_.complain_found(key, fmt::format("a list of 1 to {} batches, such as [{{\"hours\": 22}}]",
                                          limits::usual_max));
  }
  template <class Enum>
  requires std::is_enum_v<Enum>
  void operator()(std::string_view key, Enum& value) {
    value = said_.word<Enum>(key, Need::required).value_or(value);
  }
  template <class Enum>
  requires std::is_enum_v<Enum>
  void operator()(std::string_view key, std::optional<Enum>& value) {
    value = said_.word<Enum>(key, Need::optional);
  }

 private:
  template <class Part>
  void read_parts(std::string_view key, std::vector<Part>& parts) {
    for (Section& part : said_.sections(key, Need::optional)) {
      FieldReader reader(part, implied_jar_);
      each_field(reader, parts.emplace_back());
      part.refuse_unknown_keys();
    }
  }

  Section& said_;
  const std::optional<JarId>& implied_jar_;
};

// Facts of whose optional fields at least one is required.
void check_together(Section&, const auto&) {}
void check_together(Section& said, const Inspect&) {
  if (said.has("colour") || said.has("smell") || said.has("sticky") || said.has("mould")) return;
  said.complain("colour", "say what was seen: at least one of colour, smell, sticky and mould");
}
void check_together(Section& said, const Undo& undo) {
  if (undo.jar && undo.culture) said.complain_found("culture", "either a jar or a culture");
}
void check_together(Section& said, const Spare& spare) {
  if (!spare.grain_g && !spare.all) {
    said.complain("grain_g", "say how many grams, or \"all\": true");
  }
}

// The fact of the kind `word`, one of fact_words.
template <std::size_t Kind = 0>
Fact fact_in(Section& said, std::string_view word, const std::optional<JarId>& implied_jar) {
  if constexpr (Kind + 1 < fact_words.size()) {
    if (word != fact_words[Kind]) return fact_in<Kind + 1>(said, word, implied_jar);
  }
  check(word == fact_words[Kind], "every word of a fact is read");
  std::variant_alternative_t<Kind, Fact> fact{};
  FieldReader reader(said, implied_jar);
  each_field(reader, fact);
  check_together(said, fact);
  return fact;
}

// One line about the first complaint, in the words of a flat object: "sign: found ...".
Refusal first_of(const Complaints& complaints) {
  Complaint first = complaints.front();
  if (!first.pointer.empty()) first.pointer.erase(0, 1);
  return Refusal{line_of(first)};
}

std::optional<std::string_view> fact_word_in(Section& said) {
  const json* const value = said.anything("fact", Need::required);
  if (value == nullptr) return std::nullopt;
  const std::string written = value->is_string() ? value->get<std::string>() : "";
  const auto* const word = std::find(fact_words.begin(), fact_words.end(), written);
  if (word != fact_words.end()) return *word;
  said.complain_found(
      "fact",
      fmt::format("{}; or to ask: {}{}", fmt::join(fact_words, ", "), words_of<QuestionKind>(),
                  did_you_mean(written, {fact_words.begin(), fact_words.end()})));
  return std::nullopt;
}

// Puts the fields that are set into an object.
class FieldWriter {
 public:
  FieldWriter() = default;
  explicit FieldWriter(std::string_view word) { object_["fact"] = word; }

  void jar(const JarId& jar) { (*this)("jar", jar); }
  void culture_or_jar(const std::optional<CultureId>& culture, const std::optional<JarId>& jar) {
    (*this)("culture", culture);
    (*this)("jar", jar);
  }
  void remark(const char* key, const auto& value) { (*this)(key, value); }
  void record(const char* key, const std::optional<std::uint64_t>& number) {
    if (number) object_[key] = fmt::format("{}{}", record_named, *number);
  }

  void operator()(const char* key, const std::string& text) { object_[key] = text; }
  template <class Thing>
  void operator()(const char* key, const Id<Thing>& id) {
    object_[key] = id.text();
  }
  void operator()(const char* key, double number) {
    check(std::isfinite(number), "a kept fact holds finite numbers");  // JSON has no other
    object_[key] = number;
  }
  void operator()(const char* key, bool truth) {
    if (truth) object_[key] = true;
  }
  void operator()(const char* key, std::optional<bool> truth) {
    if (truth) object_[key] = *truth;
  }
  template <class Part>
  void operator()(const char* key, const std::vector<Part>& parts) {
    for (Part part : parts) {
      FieldWriter writer;
      each_field(writer, part);
      object_[key].push_back(writer.take());
    }
  }
  void operator()(const char* key, Instant instant) {
    std::string text = rfc3339(instant);
    check(!text.empty(), "a kept fact holds instants of the years 0000 to 9999");
    object_[key] = std::move(text);
  }
  template <class Enum>
  requires std::is_enum_v<Enum>
  void operator()(const char* key, Enum meaning) { object_[key] = word(meaning); }
  template <class Value>
  void operator()(const char* key, const std::optional<Value>& value) {
    if (value) (*this)(key, *value);
  }

  json take() { return std::move(object_); }

 private:
  json object_ = json::object();
};

}  // namespace

Result<Report> report_from(const json& value, const std::optional<JarId>& implied_jar) {
  Complaints complaints;
  Section said(value, "", complaints);
  const auto word = fact_word_in(said);
  if (!word) return first_of(complaints);

  Fact fact = fact_in(said, *word, implied_jar);
  const auto at = instant_in(said, "at");
  // A retraction's ref is that of the fact which it takes back, not its own.
  const bool retracts = std::holds_alternative<Retract>(fact);
  const auto ref = retracts ? std::nullopt : said.text("ref", Need::optional, remark_form);
  const bool sure = said.truth("sure", Need::optional).value_or(false);
  said.refuse_unknown_keys();
  if (!complaints.empty()) return first_of(complaints);
  return Report{std::move(fact), at, ref, sure};
}

json json_of(const Fact& fact) {
  FieldWriter writer(fact_words[fact.index()]);
  // A copy, since each_field serves the reader as well.
  std::visit([&writer](auto kind) { each_field(writer, kind); }, fact);
  return writer.take();
}

}  // namespace wheymark
