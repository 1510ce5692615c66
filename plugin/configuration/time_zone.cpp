#include "plugin/configuration/time_zone.hpp"

#include <date/tz.h>
#include <exception>
#include <memory>
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
    (void)found->get_info(Instant(limits::sane_since));  // reads the table now, not within core
    // An offset holds for months, and every reading asks for it.
    struct Held {
      Instant from = Instant::max();
      Instant until = Instant::min();
      minutes offset{0};
    };
    return UtcOffset([found, held = std::make_shared<Held>()](Instant instant) {
      if (instant < held->from || instant >= held->until) {
        const date::sys_info info = found->get_info(instant);
        *held = {std::chrono::time_point_cast<Milliseconds>(info.begin),
                 std::chrono::time_point_cast<Milliseconds>(info.end),
                 std::chrono::floor<minutes>(info.offset)};
      }
      return held->offset;
    });
  } catch (const std::exception&) {
    return Refusal{"an IANA time zone such as Europe/Lisbon or UTC" + zone_like(zone)};
  }
}

}  // namespace wheymark
