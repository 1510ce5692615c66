#include "plugin/wire/reading_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <vector>

#include "core/basis/constants.hpp"
#include "core/basis/limits.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/temperature_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

double celsius_from(double number, TemperatureUnit unit) {
  switch (unit) {
    case TemperatureUnit::celsius:
      return number;
    case TemperatureUnit::fahrenheit:
      return (number - 32.0) / 1.8;
    case TemperatureUnit::kelvin:
      return number - zero_celsius_k;
  }
  return std::nan("");
}

// --- what is not understood ---------------------------------------------------------------------

struct Leaf {
  std::string pointer;
  const json* value;
};

// The values that hold no others, by their pointers, a few levels deep.
void collect_leaves(const json& value, const std::string& pointer, int levels,
                    std::vector<Leaf>& leaves) {
  constexpr std::size_t leaves_max = 100;
  if (leaves.size() >= leaves_max) return;
  if (!value.is_structured()) return leaves.push_back({pointer, &value});
  if (levels == 0) return;
  if (value.is_array()) {
    for (std::size_t i = 0; i < value.size(); ++i) {
      collect_leaves(value[i], fmt::format("{}/{}", pointer, i), levels - 1, leaves);
    }
    return;
  }
  for (const auto& [key, member] : value.items()) {
    collect_leaves(member, pointer + "/" + pointer_token(key), levels - 1, leaves);
  }
}

std::vector<Leaf> leaves_of(const json& document) {
  constexpr int levels = 4;
  std::vector<Leaf> leaves;
  collect_leaves(document, "", levels, leaves);
  return leaves;
}

// Whether a key is one that people call a temperature.
bool is_called_temperature(std::string_view pointer) {
  std::string key(pointer.substr(pointer.rfind('/') + 1));
  std::transform(key.begin(), key.end(), key.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  constexpr std::array<std::string_view, 4> short_ones{"t", "tc", "celsius", "air"};
  return key.find("temp") != std::string::npos ||
         std::find(short_ones.begin(), short_ones.end(), key) != short_ones.end();
}

bool may_be_temperature(const json& value) {
  constexpr double least = -40.0;
  constexpr double most = 130.0;  // degF too
  const auto fits = [&](double number) { return number >= least && number <= most; };
  if (value.is_number()) return fits(value.get<double>());
  if (!value.is_string()) return false;
  const auto text = temperature_in(value.get_ref<const std::string&>());
  return text && fits(text->number);
}

// "; did you mean /air/t?", or nothing when nothing there is called a temperature.
std::string did_you_mean_in(const json& document) {
  if (document.is_number()) return "; the message itself is a number, so leave the pointer out";
  for (const Leaf& leaf : leaves_of(document)) {
    if (is_called_temperature(leaf.pointer) && may_be_temperature(*leaf.value)) {
      return fmt::format("; did you mean {}?", leaf.pointer);
    }
  }
  return "";
}

// --- what is read -------------------------------------------------------------------------------

Heard reading_of(double number, TemperatureUnit unit, const ThermometerSetup& thermometer) {
  const Celsius temperature = Celsius(celsius_from(number * thermometer.scale, unit)) +
                              KelvinDifference(thermometer.offset_k);
  if (std::isfinite(temperature.degrees())) return ReadingSaid{temperature, {}, ""};
  return NotUnderstood{
      fmt::format("{} is no finite temperature: see {}", number, thermometer.where)};
}

Heard heard_in_text(std::string_view payload, const ThermometerSetup& thermometer) {
  if (const auto read = temperature_in(payload)) {
    return reading_of(read->number, read->unit.value_or(thermometer.unit), thermometer);
  }
  const std::string_view text = trimmed_text(payload);
  if (says_that_there_is_none(text)) return SaidNothing{std::string(text)};
  const bool may_be_json = text.starts_with('{') || text.starts_with('[');
  const auto document = may_be_json ? parsed(text, Comments::refused) : Refusal{""};
  if (!document) {
    return NotUnderstood{
        fmt::format("{} is no temperature: see {}", shown_text(text), thermometer.where)};
  }
  return NotUnderstood{fmt::format("{} is no temperature: see {}, which has no pointer{}",
                                   shown(document.value()), thermometer.where,
                                   did_you_mean_in(document.value()))};
}

Heard heard_at_pointer(const json& document, const ThermometerSetup& thermometer) {
  const std::string& pointer = *thermometer.pointer;
  const auto not_understood = [&](const std::string& what) {
    return NotUnderstood{
        fmt::format("{}: see {}/pointer{}", what, thermometer.where, did_you_mean_in(document))};
  };
  const json* const there = value_at(document, pointer);
  if (there == nullptr) return not_understood(fmt::format("nothing is at {}", pointer));
  if (there->is_number()) return reading_of(there->get<double>(), thermometer.unit, thermometer);
  if (there->is_null()) return SaidNothing{"null"};
  if (there->is_string()) {
    const auto& text = there->get_ref<const std::string&>();
    if (const auto read = temperature_in(text)) {
      return reading_of(read->number, read->unit.value_or(thermometer.unit), thermometer);
    }
    if (says_that_there_is_none(text)) return SaidNothing{text};
  }
  return not_understood(fmt::format("{} is no temperature", shown(*there)));
}

void add_instant(ReadingSaid& said, const json& document, const ThermometerSetup& thermometer,
                 const ZoneOffset& home) {
  const std::string& pointer = *thermometer.instant_pointer;
  const json* const then = value_at(document, pointer);
  const auto instant =
      then == nullptr ? Refusal{"found nothing there"} : device_instant_from(*then, home);
  if (!instant) {
    said.doubt =
        fmt::format("{} at {}: {}; it counts as of now", thermometer.topic, pointer, instant.why());
    return;
  }
  said.at = instant.value().at;
  if (!instant.value().is_local) return;
  said.doubt = fmt::format("{} at {}: found {}, without a zone; the home's is taken",
                           thermometer.topic, pointer, shown(*then));
}

bool matches(const json& document, const ThermometerSetup& thermometer) {
  return std::all_of(thermometer.match.begin(), thermometer.match.end(), [&](const auto& wanted) {
    const json* const there = value_at(document, wanted.first);
    return there != nullptr && plain_text_of(*there) == wanted.second;
  });
}

}  // namespace

Heard heard_in(std::string_view payload, const ThermometerSetup& thermometer,
               const ZoneOffset& home) {
  if (payload.size() > limits::payload_bytes_max) {
    return NotUnderstood{
        fmt::format("a message of {} bytes is too long, at most {} are read: see {}",
                    payload.size(), limits::payload_bytes_max, thermometer.where)};
  }
  if (!thermometer.pointer && thermometer.match.empty()) {
    return heard_in_text(payload, thermometer);
  }
  const std::string_view text = trimmed_text(payload);
  if (says_that_there_is_none(text)) return SaidNothing{std::string(text)};
  const auto document = parsed(text, Comments::refused);
  if (!document) {
    return NotUnderstood{
        fmt::format("its message cannot be read ({}): see {}", document.why(), thermometer.where)};
  }
  if (!matches(document.value(), thermometer)) return OfAnother{};
  if (!thermometer.pointer) return heard_in_text(payload, thermometer);
  Heard heard = heard_at_pointer(document.value(), thermometer);
  auto* const said = std::get_if<ReadingSaid>(&heard);
  if (said != nullptr && thermometer.instant_pointer) {
    add_instant(*said, document.value(), thermometer, home);
  }
  return heard;
}

std::map<std::string, std::string> names_in(std::string_view payload,
                                            const ThermometerSetup& thermometer) {
  std::map<std::string, std::string> names;
  const auto document = parsed(trimmed_text(payload), Comments::refused);
  if (!document || !document.value().is_object()) return names;
  for (const Leaf& leaf : leaves_of(document.value())) {
    if (leaf.value->is_number_float() || leaf.pointer == thermometer.pointer) continue;
    names.emplace(leaf.pointer, plain_text_of(*leaf.value));
  }
  return names;
}

}  // namespace wheymark
