#include "core/record/waking.hpp"

#include <algorithm>

namespace wheymark {
namespace {

using std::chrono::minutes;

constexpr double looked_at_night = 0.15;
constexpr minutes day{24 * 60};

minutes of_local_day(Instant instant, const HouseholdSetup& setup) {
  const auto local = instant + setup.utc_offset(instant);
  return std::chrono::floor<minutes>(local - std::chrono::floor<std::chrono::days>(local));
}

// Waking hours of a local day before this minute of it.
double awake_h_before(double minute, const Waking& waking) {
  const auto before = [&](minutes from, minutes until) {
    return std::clamp(minute - static_cast<double>(from.count()), 0.0,
                      static_cast<double>((until - from).count())) /
           60.0;
  };
  if (waking.from <= waking.until) return before(waking.from, waking.until);
  return before(minutes{0}, waking.until) + before(waking.from, day);  // awake past midnight
}

}  // namespace

bool awake_at(Instant instant, const HouseholdSetup& setup) {
  const minutes minute = of_local_day(instant, setup);
  const Waking& waking = setup.waking;
  if (waking.from <= waking.until) return minute >= waking.from && minute < waking.until;
  return minute >= waking.from || minute < waking.until;
}

namespace {

// What the local clock shows as an instant. An hour that the clock leaves out or shows twice may
// come out an hour off, twice a year.
Instant instant_of(Instant local, const HouseholdSetup& setup) {
  return local - setup.utc_offset(local - setup.utc_offset(local));
}

}  // namespace

std::vector<Night> nights_between(Instant from, Instant to, const HouseholdSetup& setup) {
  std::vector<Night> nights;
  const Waking& waking = setup.waking;
  const minutes later = waking.from > waking.until ? minutes{0} : day;
  const auto first = std::chrono::floor<std::chrono::days>(from) - std::chrono::days{2};
  for (auto midnight = first; midnight <= to + day; midnight += std::chrono::days{1}) {
    const Night night{instant_of(midnight + waking.until, setup),
                      instant_of(midnight + later + waking.from, setup)};
    if (night.until > from && night.from < to) nights.push_back(night);
  }
  return nights;
}

Instant when_awake(Instant instant, const HouseholdSetup& setup) {
  for (const Night& night : nights_between(instant, instant + Milliseconds{1}, setup)) {
    if (night.from <= instant && instant < night.until) return night.until;
  }
  return instant;
}

// With the zone's offset at the later end: a changed clock moves a night by an hour, no more.
double looked_h_between(Instant from, Instant to, const HouseholdSetup& setup) {
  if (to <= from) return 0.0;
  const auto offset = setup.utc_offset(to);
  const auto awake_h_until = [&](Instant instant) {
    const auto local = instant + offset;
    const auto midnight = std::chrono::floor<std::chrono::days>(local);
    const double whole_days = static_cast<double>(midnight.time_since_epoch().count());
    const double minute = hours_between(Instant{midnight.time_since_epoch()}, local) * 60.0;
    return whole_days * awake_h_before(24.0 * 60.0, setup.waking) +
           awake_h_before(minute, setup.waking);
  };
  const double awake_h = awake_h_until(to) - awake_h_until(from);
  return awake_h + looked_at_night * (hours_between(from, to) - awake_h);
}

}  // namespace wheymark
