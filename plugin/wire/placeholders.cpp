#include "plugin/wire/placeholders.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <vector>

#include "plugin/configuration/nearest_word.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

Refusal unknown(std::string_view name, const Placeholders& placeholders) {
  std::vector<std::string> names;
  std::string list;
  for (const auto& [known, value] : placeholders) {
    names.push_back(known);
    list += fmt::format("{}{{{}}}", list.empty() ? "" : ", ", known);
  }
  return Refusal{fmt::format("found the placeholder {}; allowed: {}{}",
                             shown_text(fmt::format("{{{}}}", name)), list,
                             did_you_mean(name, names))};
}

Refusal lone(char brace) {
  return Refusal{
      fmt::format("found a lone {0}; allowed: a placeholder such as {{jar.id}}, or {0}{0} "
                  "for one brace",
                  brace)};
}

}  // namespace

Result<std::string> filled_in(std::string_view text, const Placeholders& placeholders) {
  std::string filled;
  for (std::size_t i = 0; i < text.size();) {
    const char c = text[i];
    const bool is_brace = c == '{' || c == '}';
    if (!is_brace || text.substr(i, 2) == std::string(2, c)) {
      filled += c;
      i += is_brace ? 2 : 1;
      continue;
    }
    const std::size_t end = text.find_first_of("{}", i + 1);
    if (c == '}' || end == std::string_view::npos || text[end] == '{') return lone(c);
    const std::string_view name = text.substr(i + 1, end - i - 1);
    const auto found = placeholders.find(name);
    if (found == placeholders.end()) return unknown(name, placeholders);
    filled += found->second;
    i = end + 1;
  }
  return filled;
}

std::optional<Misfilled> fill_in(json& value, const Placeholders& placeholders) {
  if (value.is_string()) {
    auto filled = filled_in(value.get_ref<const std::string&>(), placeholders);
    if (!filled) return Misfilled{"", filled.why()};
    value = std::move(filled).value();
  } else if (value.is_array()) {
    for (std::size_t i = 0; i < value.size(); ++i) {
      if (auto bad = fill_in(value[i], placeholders)) {
        return Misfilled{fmt::format("/{}{}", i, bad->pointer), bad->why};
      }
    }
  } else if (value.is_object()) {
    json filled = json::object();
    for (auto& [key, member] : value.items()) {
      auto name = filled_in(key, placeholders);
      if (!name) return Misfilled{fmt::format("/{}", pointer_token(key)), name.why()};
      if (auto bad = fill_in(member, placeholders)) {
        return Misfilled{fmt::format("/{}{}", pointer_token(key), bad->pointer), bad->why};
      }
      filled[name.value()] = std::move(member);
    }
    value = std::move(filled);
  }
  return std::nullopt;
}

}  // namespace wheymark
