#include "plugin/wire/reading_text.hpp"

#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "core/basis/constants.hpp"
#include "core/basis/limits.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"
#include "plugin/wire/number_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

// A token of a JSON Pointer as the key that it stands for.
std::string unescaped(std::string_view token) {
  std::string key;
  for (std::size_t i = 0; i < token.size(); ++i) {
    const bool escapes = token[i] == '~' && i + 1 < token.size();
    key += !escapes ? token[i] : token[++i] == '1' ? '/' : '~';
  }
  return key;
}

Refusal refused(const ThermometerSetup& thermometer, std::string_view why) {
  return Refusal{fmt::format("{}: {}", thermometer.topic, why)};
}

Refusal refused_at(const ThermometerSetup& thermometer, const std::string& pointer,
                   std::string_view why) {
  if (pointer.empty()) return refused(thermometer, why);
  return Refusal{fmt::format("{} at {}: {}", thermometer.topic, pointer, why)};
}

// The element that a token of a JSON Pointer names (RFC 6901, section 4), or null.
const json* element_at(const json& list, std::string_view token) {
  const bool has_leading_zero = token.size() > 1 && token.front() == '0';
  std::size_t index = 0;
  const char* const end = token.data() + token.size();
  const auto [stopped, error] = std::from_chars(token.data(), end, index);
  const bool is_index = error == std::errc() && stopped == end && !has_leading_zero;
  return is_index && index < list.size() ? &list[index] : nullptr;
}

const json* member_at(const json& object, std::string_view token) {
  const bool is_escaped = token.find('~') != std::string_view::npos;
  const auto member = is_escaped ? object.find(unescaped(token)) : object.find(token);
  return member == object.end() ? nullptr : &*member;
}

// The value that `pointer` leads to, or null. Not the library's own way, which makes and splits
// texts at each reading and throws for some pointers that lead nowhere.
const json* value_at(const json& document, std::string_view pointer) {
  const json* value = &document;
  while (value != nullptr && !pointer.empty()) {
    pointer.remove_prefix(1);
    const std::string_view token = pointer.substr(0, pointer.find('/'));
    pointer.remove_prefix(token.size());
    if (value->is_object()) {
      value = member_at(*value, token);
    } else {
      value = value->is_array() ? element_at(*value, token) : nullptr;
    }
  }
  return value;
}

Result<double> number_in(const json& value) {
  if (value.is_number()) return value.get<double>();
  if (value.is_string()) return number_from(value.get_ref<const std::string&>());
  return Refusal{fmt::format("found {}; allowed: a number", shown(value))};
}

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

Result<ReadingSaid> reading_of(double number, std::optional<Instant> at,
                               const ThermometerSetup& thermometer) {
  const Celsius temperature =
      Celsius(celsius_from(number, thermometer.unit)) + KelvinDifference(thermometer.offset_k);
  if (!std::isfinite(temperature.degrees())) {
    return refused(thermometer, fmt::format("found {}; allowed: a finite temperature", number));
  }
  return ReadingSaid{temperature, at};
}

}  // namespace

Result<ReadingSaid> reading_from(std::string_view payload, const ThermometerSetup& thermometer) {
  if (payload.size() > limits::payload_bytes_max) {
    return refused(thermometer, fmt::format("found a payload of {} bytes; allowed: at most {}",
                                            payload.size(), limits::payload_bytes_max));
  }
  if (!thermometer.pointer) {
    const auto number = number_from(payload);
    if (!number) return refused(thermometer, number.why());
    return reading_of(number.value(), std::nullopt, thermometer);
  }

  const auto document = parsed(payload, Comments::refused);
  if (!document) return refused(thermometer, document.why());

  const json* const there = value_at(document.value(), *thermometer.pointer);
  if (there == nullptr) {
    return refused_at(
        thermometer, *thermometer.pointer,
        fmt::format("found nothing there in {}; allowed: a number", shown(document.value())));
  }
  const auto number = number_in(*there);
  if (!number) return refused_at(thermometer, *thermometer.pointer, number.why());
  if (!thermometer.instant_pointer) return reading_of(number.value(), std::nullopt, thermometer);

  const json* const then = value_at(document.value(), *thermometer.instant_pointer);
  if (then == nullptr) {
    return refused_at(thermometer, *thermometer.instant_pointer,
                      "found nothing there; allowed: the instant of the reading");
  }
  const auto instant = instant_from_value(*then);
  if (!instant) return refused_at(thermometer, *thermometer.instant_pointer, instant.why());
  return reading_of(number.value(), instant.value(), thermometer);
}

}  // namespace wheymark
