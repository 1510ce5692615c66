#include "core/announce/sentences.hpp"

#include <fmt/format.h>

#include "core/announce/describe.hpp"
#include "core/record/local_time.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::minutes told_late_after{10};

Announcement without_words(const Occurrence& occurrence) {
  return {
      occurrence.kind, occurrence.subject, occurrence.id, occurrence.time, "", std::nullopt, {}};
}

// Whoever reads a late announcement must know that it is no news.
Announcement dated(Announcement out, const Household& household, Instant now) {
  if (now - out.time > told_late_after) {
    out.text += fmt::format(" (That was at {}; it is told only now.)",
                            day_and_clock_text(out.time, household.setup()));
  }
  return out;
}

}  // namespace

Announcement worded(const Occurrence& occurrence, const Batch& batch, const Household& household,
                    Instant now) {
  Announcement out = without_words(occurrence);
  switch (occurrence.kind) {
    case EventKind::stored:
    case EventKind::best_by_near:
    case EventKind::best_by_passed:
    case EventKind::last_day_near:
    case EventKind::last_day_passed:
      describe_bottle(household, batch, out, now);
      break;
    case EventKind::discard_kefir:
      describe_suspect(household, batch, out);
      break;
    case EventKind::not_souring:
    case EventKind::left_out:
      describe_warm_milk(household, batch, out);
      break;
    case EventKind::vent_lid:
      describe_lid(household, batch, out, now);
      break;
    case EventKind::second_begun:
    case EventKind::second_ready:
      describe_second(household, batch, out, now);
      break;
    default:
      describe_batch(household, batch, out, now);
  }
  return dated(std::move(out), household, now);
}

Announcement worded(const Occurrence& occurrence, const PlaceSetup& place,
                    const Household& household, Instant now) {
  Announcement out = without_words(occurrence);
  switch (occurrence.kind) {
    case EventKind::fridge_too_warm:
    case EventKind::room_too_warm:
    case EventKind::room_too_cold:
      describe_warmth(household, place, out, now);
      return dated(std::move(out), household, now);
    default:
      describe_thermometer(household, place, out);
      return out;  // its text says since when
  }
}

Announcement worded(const Occurrence& occurrence, const CultureSetup& culture,
                    const Household& household, Instant now) {
  Announcement out = without_words(occurrence);
  describe_grains(household, culture, out, now);
  return dated(std::move(out), household, now);
}

Announcement worded(const Occurrence& occurrence, const JarSetup& jar, const Household& household,
                    Instant now) {
  Announcement out = without_words(occurrence);
  describe_jar(household, jar, out);
  return dated(std::move(out), household, now);
}

}  // namespace wheymark
