#include "plugin/configuration/time_zone.hpp"

#include <date/tz.h>
#include <exception>
#include <vector>

#include "core/basis/limits.hpp"
#include "plugin/configuration/nearest_word.hpp"

namespace wheymark {
namespace {

std::string zone_like(const std::string& zone) {
  try {
    std::vector<std::string> names;
    for (const auto& known : date::get_tzdb().zones) names.push_back(known.name());
    return did_you_mean(zone, names);
  } catch (const std::exception&) {
    return " (this machine has no time zone tables: install tzdata)";
  }
}

}  // namespace

Result<UtcOffset> utc_offset_in(const std::string& zone) {
  using std::chrono::minutes;
  if (zone == "UTC") return UtcOffset([](Instant) { return minutes{0}; });
  // The library throws for names it does not know and for tables it cannot read.
  try {
    const date::time_zone* const found = date::locate_zone(zone);
    (void)found->get_info(Instant(limits::sane_since));  // reads the table now, not in core's hands
    return UtcOffset([found](Instant instant) {
      return std::chrono::floor<minutes>(found->get_info(instant).offset);
    });
  } catch (const std::exception&) {
    return Refusal{"an IANA time zone such as Europe/Lisbon or UTC" + zone_like(zone)};
  }
}

}  // namespace wheymark
