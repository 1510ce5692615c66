#include "core/announce/occurrences.hpp"

#include <algorithm>

#include "core/announce/occurrence_ids.hpp"
#include "core/announce/refuted.hpp"
#include "core/household/jar_state.hpp"

namespace wheymark {
namespace {

std::optional<Instant> earlier_of(std::optional<Instant> a, std::optional<Instant> b) {
  if (!a || !b) return a ? a : b;
  return std::min(*a, *b);
}

Instant some_hours_before(Instant instant, double hours) {
  return after_hours(instant, -hours);
}

// Some hours before the peak's end; in a hot kitchen, where the whole peak is hardly longer than
// that, at half of it, so that the warning does not come with the opening.
Instant closing_of(Instant opens, Instant closes, double notice_h) {
  const Instant half = after_hours(opens, 0.5 * hours_between(opens, closes));
  return std::max(some_hours_before(closes, notice_h), half);
}

// A milestone that was refuted is told again at the earliest so much later: whoever has just looked
// is not told at once that it is so all the same.
constexpr std::chrono::hours believed_for{1};

struct Milestone {
  EventKind kind;
  const Observation* refuted;  // the last look that took it back, or null
};

class MilestonesToCome {
 public:
  MilestonesToCome(const Batch& batch, const Household& household, const Told& told)
      : batch_(batch), household_(household), told_(told) {}

  Milestone milestone(EventKind kind) {
    const Observation* refuted =
        refutation(batch_, kind, household_.parameters(), [&](Instant since) {
          return told_(of_jar(batch_.start.jar, kind, since, since, batch_.number).id);
        });
    if (refuted != nullptr) looked_ = std::max(looked_, refuted->at);
    return {kind, refuted};
  }

  void add(std::vector<Occurrence>& occurrences, const Milestone& milestone, Instant time) const {
    // What lies before a look that found it otherwise was told already, or is not told after it.
    if (time <= looked_) return;
    const bool again = milestone.refuted != nullptr;
    const Instant since = again ? milestone.refuted->told_at : batch_.started;
    occurrences.push_back(of_jar(batch_.start.jar, milestone.kind,
                                 std::max(time, again ? since + believed_for : since), since,
                                 batch_.number));
  }

 private:
  const Batch& batch_;
  const Household& household_;
  const Told& told_;
  Instant looked_ = Instant::min();  // the latest look that took something back
};

void add_milestones(std::vector<Occurrence>& occurrences, const Batch& batch,
                    const Fermentation& fermentation, const Household& household,
                    const Told& told) {
  MilestonesToCome to_come(batch, household, told);
  const Milestone near = to_come.milestone(EventKind::peak_near);
  const Milestone open = to_come.milestone(EventKind::peak_open);
  const Milestone closing = to_come.milestone(EventKind::peak_closing);
  const Milestone over = to_come.milestone(EventKind::over_fermented);
  const LeadTimes& lead_times = household.setup().lead_times;
  const Forecast forecast = fermentation.forecast().value_or(Forecast{});
  const auto opens = earlier_of(forecast.peak_opens.p50,
                                first_seen_since(batch, Sign::whey_pockets, open.refuted));
  const auto closes =
      earlier_of(forecast.peak_closes.p50, first_seen_since(batch, Sign::whey_layer, over.refuted));
  if (opens) {
    const Instant time = some_hours_before(*opens, lead_times.peak_near_h);
    to_come.add(occurrences, near, time);
    to_come.add(occurrences, open, *opens);
  }
  if (opens && closes) {
    to_come.add(occurrences, closing, closing_of(*opens, *closes, lead_times.peak_closing_h));
  }
  if (closes) to_come.add(occurrences, over, *closes);
}

}  // namespace

std::vector<Occurrence> occurrences_of(const Batch& batch, const Fermentation* fermentation,
                                       const Household& household, const Told& told) {
  std::vector<Occurrence> occurrences;
  const bool has_begun_itself = !batch.share_of;
  if (has_begun_itself) {
    occurrences.push_back(of_jar(batch.start.jar, EventKind::batch_started, batch.started,
                                 batch.started, batch.number));
  }
  if (batch.fermenting() && fermentation != nullptr)
    add_milestones(occurrences, batch, *fermentation, household, told);
  if (batch.strained && has_begun_itself) {
    const Strained& strained = *batch.strained;
    occurrences.push_back(
        of_jar(strained.said.jar, EventKind::strained, strained.at, strained.at, strained.fact));
  }
  for (const Stored& stored : batch.stored) {
    occurrences.push_back(of_jar(stored.jar, EventKind::stored, stored.at, stored.at, stored.fact));
  }
  return occurrences;
}

// "culture-old-faithful.20270301T081000Z.12.culture-slower": noticed at which batch's straining.
std::vector<Occurrence> occurrences_of(const CultureId& culture, const CultureHealth& health) {
  std::vector<Occurrence> occurrences;
  for (const PaceChange& change : health.changes()) {
    const EventKind kind =
        change.factor < 1.0 ? EventKind::culture_slower : EventKind::culture_faster;
    occurrences.push_back(of_culture(culture, kind, change.at, change.at, change.batch));
  }
  return occurrences;
}

std::vector<Occurrence> occurrences_of(const PlaceId& place, const Thermometer& thermometer,
                                       Instant listening_since, const Told& told) {
  std::vector<Occurrence> occurrences;
  if (const auto& back = thermometer.last_return()) {
    const auto was_announced = [&](EventKind absence, std::optional<Instant> since) {
      return told(of_place(place, absence, back->at, since).id).has_value();
    };
    // One announcement, also for a thermometer that was silent and then implausible.
    if (was_announced(EventKind::thermometer_silent, back->read_before) ||
        was_announced(EventKind::thermometer_not_understood, back->read_before)) {
      occurrences.push_back(
          of_place(place, EventKind::thermometer_back, back->at, back->read_before));
    } else if (back->doubted_since &&
               was_announced(EventKind::thermometer_implausible, back->doubted_since)) {
      occurrences.push_back(
          of_place(place, EventKind::thermometer_back, back->at, back->doubted_since));
    } else if (back->stuck_since &&
               was_announced(EventKind::thermometer_stuck, back->stuck_since)) {
      occurrences.push_back(
          of_place(place, EventKind::thermometer_back, back->at, back->stuck_since));
    }
  }
  if (const auto since = thermometer.stuck_since()) {
    occurrences.push_back(of_place(place, EventKind::thermometer_stuck, *since, since));
  }
  if (const auto since = thermometer.doubted_since()) {
    occurrences.push_back(of_place(place, EventKind::thermometer_implausible, *since, since));
  }
  const auto silent = thermometer.silent_from(listening_since);
  if (const auto& nonsense = thermometer.nonsense(); nonsense && silent) {
    // One that speaks is not silent. One that has never been understood is told at once.
    occurrences.push_back(of_place(place, EventKind::thermometer_not_understood,
                                   thermometer.last_read() ? *silent : nonsense->since,
                                   thermometer.last_read()));
  } else if (silent && !thermometer.doubted_since()) {
    occurrences.push_back(
        of_place(place, EventKind::thermometer_silent, *silent, thermometer.last_read()));
  }
  return occurrences;
}

}  // namespace wheymark
