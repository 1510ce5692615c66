#include "core/household/sentences.hpp"

#include <fmt/format.h>

#include "core/household/local_time.hpp"
#include "core/household/tellers.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::minutes told_late_after{10};

Announcement untold(const Moment& moment) {
  return {moment.kind, moment.subject, moment.id, moment.time, "", std::nullopt, {}};
}

// Whoever reads it must know that it is no news.
Announcement dated(Announcement out, const Household& household, Instant now) {
  if (now - out.time > told_late_after) {
    out.text += fmt::format(" (It was so at {}; this is told late.)",
                            day_and_clock_text(out.time, household.plan()));
  }
  return out;
}

}  // namespace

Announcement told(const Moment& moment, const Batch& batch, const Household& household,
                  Instant now) {
  Announcement out = untold(moment);
  switch (moment.kind) {
    case Happening::stored:
    case Happening::best_by_near:
    case Happening::best_by_passed:
    case Happening::last_day_near:
    case Happening::last_day_passed:
      tell_of_bottle(household, batch, out, now);
      break;
    case Happening::vent_lid:
      tell_of_lid(household, batch, out, now);
      break;
    default:
      tell_of_batch(household, batch, out, now);
  }
  return dated(std::move(out), household, now);
}

Announcement told(const Moment& moment, const PlannedPlace& place, const Household& household,
                  Instant now) {
  Announcement out = untold(moment);
  switch (moment.kind) {
    case Happening::fridge_too_warm:
    case Happening::room_too_warm:
    case Happening::room_too_cold:
      tell_of_warmth(household, place, out, now);
      return dated(std::move(out), household, now);
    default:
      tell_of_thermometer(household, place, out);
      return out;  // it says itself since when
  }
}

Announcement told(const Moment& moment, const PlannedCulture& culture, const Household& household,
                  Instant now) {
  Announcement out = untold(moment);
  tell_of_grains(household, culture, out, now);
  return dated(std::move(out), household, now);
}

Announcement told(const Moment& moment, const PlannedJar& jar, const Household& household,
                  Instant now) {
  Announcement out = untold(moment);
  tell_of_jar(household, jar, out);
  return dated(std::move(out), household, now);
}

}  // namespace wheymark
