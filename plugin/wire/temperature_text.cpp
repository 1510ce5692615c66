#include "plugin/wire/temperature_text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string>
#include <system_error>

namespace wheymark {
namespace {

bool takes_front(std::string_view& text, std::string_view front) {
  if (!text.starts_with(front)) return false;
  text.remove_prefix(front.size());
  return true;
}

bool takes_any(std::string_view& text, const auto& fronts) {
  return std::any_of(std::begin(fronts), std::end(fronts),
                     [&](std::string_view front) { return takes_front(text, front); });
}

std::string lower_case(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return lower;
}

// The sign for degrees, and what is taken for it; the last is Latin-1.
constexpr std::array<std::string_view, 7> degree_signs{"°",        "º",    "˚",   "&deg;",
                                                       "degrees ", "deg ", "\xb0"};

// The unit that is the whole of `text`; `is_one` is false for any other text.
std::optional<TemperatureUnit> unit_in(std::string_view text, bool& is_one) {
  is_one = true;
  if (text.empty()) return std::nullopt;
  if (text == "℃") return TemperatureUnit::celsius;
  if (text == "℉") return TemperatureUnit::fahrenheit;
  std::string lower = lower_case(text);
  std::string_view rest = lower;
  if (takes_any(rest, degree_signs) || takes_front(rest, "deg")) rest = trimmed_text(rest);
  if (rest.empty()) return std::nullopt;
  if (rest == "c" || rest == "celsius") return TemperatureUnit::celsius;
  if (rest == "f" || rest == "fahrenheit") return TemperatureUnit::fahrenheit;
  if (rest == "k" || rest == "kelvin") return TemperatureUnit::kelvin;
  is_one = false;
  return std::nullopt;
}

bool is_figure(char c) {
  return c >= '0' && c <= '9';
}

// How much of `text` is the digits of one number, with an exponent or without.
std::size_t length_of_number(std::string_view text) {
  const auto digits_from = [&](std::size_t from) {
    while (from < text.size() && is_figure(text[from])) ++from;
    return from;
  };
  std::size_t end = digits_from(0);
  if (end < text.size() && (text[end] == '.' || text[end] == ',')) end = digits_from(end + 1);
  if (end >= text.size() || (text[end] != 'e' && text[end] != 'E')) return end;
  std::size_t exponent = end + 1;
  if (exponent < text.size() && (text[exponent] == '-' || text[exponent] == '+')) ++exponent;
  return digits_from(exponent) > exponent ? digits_from(exponent) : end;
}

}  // namespace

std::string_view trimmed_text(std::string_view text) {
  const auto is_ink = [](char c) { return c > ' ' && c < '\x7f'; };
  if (!text.empty() && is_ink(text.front()) && is_ink(text.back())) return text;  // as nearly all
  constexpr std::array<std::string_view, 9> around{
      "\xef\xbb\xbf", "\xc2\xa0", "\xe2\x80\xaf", " ", "\t", "\r", "\n", "\f", "\v"};
  while (takes_any(text, around)) {
  }
  const auto ends = [&](std::string_view back) {
    if (!text.ends_with(back)) return false;
    text.remove_suffix(back.size());
    return true;
  };
  while (std::any_of(around.begin(), around.end(), ends)) {
  }
  return text;
}

std::optional<TemperatureText> temperature_in(std::string_view text) {
  std::string_view rest = trimmed_text(text);
  const bool is_quoted = rest.size() >= 2 && rest.front() == '"' && rest.back() == '"';
  if (is_quoted) rest = trimmed_text(rest.substr(1, rest.size() - 2));
  const bool is_negative = takes_front(rest, "-") || takes_front(rest, "−");
  if (!is_negative) takes_front(rest, "+");

  std::string digits(rest.substr(0, length_of_number(rest)));
  bool is_unit = false;
  const auto unit = unit_in(trimmed_text(rest.substr(digits.size())), is_unit);
  if (!is_unit) return std::nullopt;
  std::replace(digits.begin(), digits.end(), ',', '.');
  double number = 0.0;
  const char* const end = digits.data() + digits.size();
  const auto [stopped, error] = std::from_chars(digits.data(), end, number);
  if (error != std::errc() || stopped != end || !std::isfinite(number)) return std::nullopt;
  return TemperatureText{is_negative ? -number : number, unit};
}

bool says_that_there_is_none(std::string_view text) {
  constexpr std::array<std::string_view, 17> words{
      "",     "unavailable", "not available", "unknown", "offline", "disconnected",
      "lost", "inactive",    "dead",          "none",    "null",    "nil",
      "nan",  "-nan",        "undefined",     "no data", "timeout"};
  const std::string said = lower_case(trimmed_text(text));
  return std::find(words.begin(), words.end(), said) != words.end();
}

}  // namespace wheymark
