#include "plugin/configuration/milk_word.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace wheymark {
namespace {

constexpr std::array plants{
    std::string_view("almond"),    std::string_view("cashew"),   std::string_view("coconut"),
    std::string_view("flax"),      std::string_view("hazelnut"), std::string_view("hemp"),
    std::string_view("macadamia"), std::string_view("nut"),      std::string_view("oat"),
    std::string_view("pea"),       std::string_view("plant"),    std::string_view("quinoa"),
    std::string_view("rice"),      std::string_view("soy"),      std::string_view("soya"),
    std::string_view("spelt"),     std::string_view("vegan"),    std::string_view("walnut")};

std::string small_letters(std::string_view text) {
  std::string small(text);
  for (char& c : small) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return small;
}

template <class Enum>
std::optional<Enum> milk_word_in(Section& section, std::string_view key, Need need) {
  const nlohmann::json* const value = section.anything(key, Need::optional);
  if (value != nullptr && value->is_string() &&
      names_milk_without_lactose(value->get_ref<const std::string&>())) {
    section.complain_found(
        key, fmt::format("{} (grains live on lactose, and this milk has none)", words_of<Enum>()));
    return std::nullopt;
  }
  return section.word<Enum>(key, need);
}

}  // namespace

bool names_milk_without_lactose(std::string_view word) {
  const std::string written = small_letters(word);
  if (written.find("lactose") != std::string::npos) return true;
  // Any part of "oat-milk", "rice drink", "soy_barista".
  constexpr std::string_view between = "-_ ";
  for (std::size_t from = 0; from <= written.size();) {
    const std::size_t end = std::min(written.find_first_of(between, from), written.size());
    const std::string_view part = std::string_view(written).substr(from, end - from);
    if (std::find(plants.begin(), plants.end(), part) != plants.end()) return true;
    from = end + 1;
  }
  return false;
}

std::optional<MilkKind> milk_in(Section& section, std::string_view key, Need need) {
  return milk_word_in<MilkKind>(section, key, need);
}

std::optional<Treatment> treatment_in(Section& section, std::string_view key, Need need) {
  return milk_word_in<Treatment>(section, key, need);
}

}  // namespace wheymark
