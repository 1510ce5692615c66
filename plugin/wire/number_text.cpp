#include "plugin/wire/number_text.hpp"

#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <system_error>

#include "core/basis/check.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

constexpr std::string_view white_space = " \t\r\n\f\v";

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(white_space);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(white_space) - first + 1);
}

}  // namespace

Result<double> number_from(std::string_view text) {
  const std::string_view number = trimmed(text);
  if (number.empty()) return Refusal{"found an empty text; allowed: one number such as 21.5"};

  double value = 0.0;
  const char* const end = number.data() + number.size();
  const auto [stopped, error] = std::from_chars(number.data(), end, value);
  if (error == std::errc::result_out_of_range) {
    return Refusal{
        fmt::format("found {}; allowed: a number that is neither larger than 1.8e308 nor "
                    "nearer to 0 than 2.3e-308",
                    shown_text(number))};
  }
  // from_chars reads the words nan and inf, too.
  if (error != std::errc() || stopped != end || !std::isfinite(value)) {
    return Refusal{fmt::format("found {}; allowed: one number such as 21.5", shown_text(number))};
  }
  return value;
}

std::string decimal(double value, int digits) {
  check(digits >= 0 && digits <= 17, "a number is written with 0 to 17 decimals");
  if (!std::isfinite(value)) return "";
  std::string text = fmt::format("{:.{}f}", value, digits);
  const bool is_zero = text.find_first_of("123456789") == std::string::npos;
  if (is_zero && text.front() == '-') text.erase(0, 1);
  return text;
}

}  // namespace wheymark
