#include "plugin/wire/device_instant.hpp"

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "core/basis/limits.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/number_text.hpp"
#include "plugin/wire/temperature_text.hpp"

namespace wheymark {
namespace {

// Takes what it reads off the front of a text.
class Front {
 public:
  explicit Front(std::string_view rest) : rest_(rest) {}

  [[nodiscard]] std::string_view rest() const { return rest_; }
  bool take(char c) {
    if (rest_.empty() || rest_.front() != c) return false;
    rest_.remove_prefix(1);
    return true;
  }
  // So many digits, or nothing.
  std::optional<std::string> digits(std::size_t count) {
    const auto end = rest_.find_first_not_of("0123456789");
    if (std::min(end, rest_.size()) < count) return std::nullopt;
    std::string taken(rest_.substr(0, count));
    rest_.remove_prefix(count);
    return taken;
  }
  std::string all_digits() {
    const auto end = std::min(rest_.find_first_not_of("0123456789"), rest_.size());
    std::string taken(rest_.substr(0, end));
    rest_.remove_prefix(end);
    return taken;
  }

 private:
  std::string_view rest_;
};

// "2027-03-01" from that or 20270301; empty when it is no date.
std::string date_taken(Front& text) {
  const auto year = text.digits(4);
  const bool has_hyphens = text.take('-');
  const auto month = text.digits(2);
  if (has_hyphens && !text.take('-')) return {};
  const auto day = text.digits(2);
  if (!year || !month || !day) return {};
  return *year + "-" + *month + "-" + *day;
}

// "08:10:00.250" from that, 0810, 081000,25 or 08:10; empty when it is no time.
std::string time_taken(Front& text) {
  const auto hour = text.digits(2);
  const bool has_colons = text.take(':');
  const auto minute = text.digits(2);
  if (!hour || !minute) return {};
  std::optional<std::string> second;
  if (!has_colons || text.take(':')) second = text.digits(2);
  std::string fraction;
  if (second && (text.take('.') || text.take(','))) {
    fraction = "." + text.all_digits();
    if (fraction.size() == 1) return {};
  }
  return *hour + ":" + *minute + ":" + second.value_or("00") + fraction;
}

// "+02:00" from that, +0200 or +02; Z from Z, UTC and GMT; empty when it is no zone.
std::string zone_in(std::string_view text) {
  if (text == "Z" || text == "z" || text == "UTC" || text == "GMT") return "Z";
  Front rest(text);
  const bool is_ahead = rest.take('+');
  if (!is_ahead && !rest.take('-')) return {};
  const auto hours = rest.digits(2);
  if (!hours) return {};
  rest.take(':');
  const std::string minutes = rest.rest().empty() ? "00" : rest.digits(2).value_or("");
  if (minutes.empty() || !rest.rest().empty()) return {};
  return (is_ahead ? "+" : "-") + *hours + ":" + minutes;
}

std::optional<DeviceInstant> instant_in(std::string_view written, const ZoneOffset& home) {
  Front text(trimmed_text(written));
  const std::string date = date_taken(text);
  if (date.empty() || !(text.take('T') || text.take('t') || text.take(' '))) return std::nullopt;
  const std::string time = time_taken(text);
  if (time.empty()) return std::nullopt;
  while (text.take(' ')) {
  }
  const bool is_local = text.rest().empty();
  const std::string zone = is_local ? "Z" : zone_in(text.rest());
  if (zone.empty()) return std::nullopt;
  const auto read = instant_from_rfc3339(date + "T" + time + zone);
  if (!read) return std::nullopt;
  if (!is_local) return DeviceInstant{read.value(), false};
  // Twice, because the offset is asked for by the instant that it leads to.
  const Instant roughly = read.value() - home(read.value());
  return DeviceInstant{read.value() - home(roughly), true};
}

}  // namespace

Result<DeviceInstant> device_instant_from(const nlohmann::json& value, const ZoneOffset& home) {
  auto strict = instant_from_value(value);
  if (strict) return DeviceInstant{strict.value(), false};
  if (!value.is_string()) return strict.refusal();
  const auto loose = instant_in(value.get_ref<const std::string&>(), home);
  const bool is_sane = loose && loose->at >= limits::sane_since && loose->at < limits::sane_until;
  if (!is_sane) return strict.refusal();
  return *loose;
}

}  // namespace wheymark
