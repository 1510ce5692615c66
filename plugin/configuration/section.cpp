#include "plugin/configuration/section.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "plugin/configuration/nearest_word.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

std::string range_text(Range range, std::string_view kind) {
  const std::string unit = range.unit.empty() ? "" : fmt::format(" {}", range.unit);
  if (std::isinf(range.least) && std::isinf(range.most)) return fmt::format("{}{}", kind, unit);
  return fmt::format("{} from {} to {}{}", kind, range.least, range.most, unit);
}

bool contains(const std::vector<std::string>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

}  // namespace

Section::Section(const json& value, std::string pointer, Complaints& complaints)
    : object_(value.is_object() ? &value : nullptr),
      pointer_(std::move(pointer)),
      complaints_(&complaints) {
  if (object_ == nullptr) {
    complaints_->push_back({pointer_, fmt::format("found {}; allowed: an object", shown(value))});
  }
}

const json* Section::anything(std::string_view key, Need need) {
  if (!contains(allowed_keys_, key)) allowed_keys_.emplace_back(key);
  if (object_ == nullptr) return nullptr;
  const auto member = object_->find(key);
  if (member != object_->end()) return &*member;
  if (need == Need::required) complain(key, "found nothing; this key is required");
  return nullptr;
}

std::optional<std::string> Section::text(std::string_view key, Need need, Form form) {
  const json* const value = anything(key, need);
  if (value == nullptr) return std::nullopt;
  // Asked for the allowed form also when the type is wrong: that is what the writer needs to know.
  const auto allowed = form(value->is_string() ? value->get_ref<const std::string&>() : "");
  if (!value->is_string()) {
    complain_found(key, "a text" + (allowed ? ": " + *allowed : ""));
    return std::nullopt;
  }
  if (allowed) {
    complain_found(key, *allowed);
    return std::nullopt;
  }
  return value->get<std::string>();
}

std::optional<double> Section::number(std::string_view key, Need need, Range range) {
  const json* const value = anything(key, need);
  if (value == nullptr) return std::nullopt;
  const double number = value->is_number() ? value->get<double>() : std::nan("");
  if (!(number >= range.least && number <= range.most)) {
    complain_found(key, range_text(range, "a number"));
    return std::nullopt;
  }
  return number;
}

std::optional<int> Section::whole_number(std::string_view key, Need need, Range range) {
  const json* const value = anything(key, need);
  if (value == nullptr) return std::nullopt;
  const double number = value->is_number() ? value->get<double>() : std::nan("");
  const bool fits_int = number >= std::numeric_limits<int>::min() &&
                        number <= std::numeric_limits<int>::max() && std::trunc(number) == number;
  if (!fits_int || number < range.least || number > range.most) {
    complain_found(key, range_text(range, "a whole number"));
    return std::nullopt;
  }
  return static_cast<int>(number);
}

std::optional<bool> Section::truth(std::string_view key, Need need) {
  const json* const value = anything(key, need);
  if (value == nullptr) return std::nullopt;
  if (!value->is_boolean()) {
    complain_found(key, "true or false");
    return std::nullopt;
  }
  return value->get<bool>();
}

std::optional<std::string> Section::one_of(std::string_view key, Need need,
                                           const std::vector<std::string>& words) {
  const json* const value = anything(key, need);
  if (value == nullptr) return std::nullopt;
  const std::string written = value->is_string() ? value->get<std::string>() : "";
  if (contains(words, written)) return written;
  complain_found(key, fmt::format("{}{}", fmt::join(words, ", "), did_you_mean(written, words)));
  return std::nullopt;
}

std::optional<Section> Section::section(std::string_view key, Need need) {
  const json* const value = anything(key, need);
  if (value == nullptr) return std::nullopt;
  return Section(*value, pointer_to(key), *complaints_);
}

std::vector<Section> Section::sections(std::string_view key, Need need) {
  const json* const value = anything(key, need);
  if (value == nullptr) return {};
  if (!value->is_array()) {
    complain_found(key, "an array of objects");
    return {};
  }
  std::vector<Section> entries;
  for (std::size_t i = 0; i < value->size(); ++i) {
    entries.emplace_back((*value)[i], fmt::format("{}/{}", pointer_to(key), i), *complaints_);
  }
  return entries;
}

void Section::forbid(std::string_view key, std::string_view sentence) {
  forbidden_keys_.emplace_back(key);
  if (has(key)) complain(key, std::string(sentence));
}

void Section::refuse_unknown_keys() {
  if (object_ == nullptr) return;
  for (const auto& [key, value] : object_->items()) {
    if (contains(allowed_keys_, key) || contains(forbidden_keys_, key)) continue;
    complain(key, fmt::format("found the key {}; allowed: {}{}", shown_text(key),
                              fmt::join(allowed_keys_, ", "), did_you_mean(key, allowed_keys_)));
  }
}

void Section::complain(std::string_view key, std::string sentence) {
  complaints_->push_back({pointer_to(key), std::move(sentence)});
}

void Section::complain_below(std::string_view key, std::string_view below, std::string sentence) {
  complaints_->push_back({pointer_to(key) + std::string(below), std::move(sentence)});
}

void Section::complain_found(std::string_view key, std::string_view allowed) {
  complain(key, fmt::format("found {}; allowed: {}", found(key), allowed));
}

std::string Section::pointer_to(std::string_view key) const {
  return pointer_ + "/" + pointer_token(key);
}

bool Section::has(std::string_view key) const {
  return object_ != nullptr && object_->contains(key);
}

std::string Section::found(std::string_view key) const {
  const json& value = object_->at(key);
  // Somebody may have put the secret itself where its file should be named.
  const bool may_be_secret = key.find("password") != std::string_view::npos;
  return may_be_secret ? fmt::format("a {}", value.type_name()) : shown(value);
}

}  // namespace wheymark
