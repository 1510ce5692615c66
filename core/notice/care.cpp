#include "core/notice/care.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <optional>
#include <utility>

#include "core/announce/occurrences.hpp"
#include "core/announce/sentences.hpp"
#include "core/household/jar_state.hpp"
#include "core/notice/guidance.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

bool is_safety(EventKind kind) {
  return kind == EventKind::discard_grains || kind == EventKind::discard_kefir ||
         kind == EventKind::fridge_too_warm;
}

std::optional<Urgency> urgency_of(EventKind kind) {
  switch (kind) {
    case EventKind::vent_lid:
    case EventKind::not_souring:
    case EventKind::grains_hungry:
    case EventKind::last_day_passed:
      return Urgency::today;
    case EventKind::second_ready:
    case EventKind::left_out:
    case EventKind::room_too_warm:
      return Urgency::now;
    case EventKind::best_by_near:
    case EventKind::best_by_passed:
    case EventKind::last_day_near:
    case EventKind::surplus_grains:
    case EventKind::grains_advice:
    case EventKind::wash_jar:
    case EventKind::room_too_cold:
    case EventKind::thermometer_silent:
    case EventKind::thermometer_not_understood:
    case EventKind::thermometer_stuck:
    case EventKind::thermometer_implausible:
    case EventKind::culture_slower:
    case EventKind::culture_faster:
      return Urgency::whenever;
    default:
      return std::nullopt;  // what the person just did, and what the peak's own matters say
  }
}

// The later date says what the earlier one would.
bool is_inhibited(EventKind kind, const std::vector<Occurrence>& occurrences, Instant now) {
  const auto has_come = [&](EventKind other) {
    return std::any_of(occurrences.begin(), occurrences.end(),
                       [&](const Occurrence& o) { return o.kind == other && o.time <= now; });
  };
  switch (kind) {
    case EventKind::best_by_near:
      return has_come(EventKind::best_by_passed);
    case EventKind::best_by_passed:
      return has_come(EventKind::last_day_near);
    case EventKind::last_day_near:
      return has_come(EventKind::last_day_passed);
    default:
      return false;
  }
}

class Carer {
 public:
  Carer(const Household& household, const CareAsked& asked, bool safety)
      : household_(household), setup_(household.setup()), asked_(asked), safety_(safety) {}

  std::vector<Matter> matters() {
    for (const JarSetup& jar : setup_.jars) {
      if (const Batch* batch = household_.book().in_jar(jar.id)) of_batch(*batch);
      if (!safety_) of_jar(jar);
    }
    for (const CultureSetup& culture : setup_.cultures) of_culture(culture);
    for (const PlaceSetup& place : setup_.places) of_place(place);
    return std::move(matters_);
  }

 private:
  // The gas presses, by what is computed: that cannot wait for the morning.
  [[nodiscard]] bool presses(const Batch& batch, const Occurrence& occurrence) const {
    if (occurrence.kind != EventKind::vent_lid) return false;
    const RunningBatch* running = household_.running(batch);
    if (running == nullptr || running->lid_pressure() == nullptr) return false;
    const auto pressed = running->lid_pressure()->pressed_since();
    return batch.in_second || (pressed && *pressed >= batch.lid_since);
  }

  [[nodiscard]] bool is_wanted(const Occurrence& occurrence, bool safety) const {
    const bool foreseen = occurrence.kind == EventKind::vent_lid && !safety_;
    const Instant by = foreseen ? asked_.foreseen_until : asked_.now;
    if (occurrence.time > by || asked_.was_told(occurrence.id)) return false;
    if (safety_) return safety;
    // What is foreseen is told before it becomes a matter of safety.
    return !safety || (foreseen && occurrence.time > asked_.now);
  }

  void of_batch(const Batch& batch) {
    const std::vector<Occurrence> occurrences = occurrences_after_peak(batch, household_);
    for (const Occurrence& occurrence : occurrences) {
      const bool safety = is_safety(occurrence.kind) || presses(batch, occurrence);
      if (!is_wanted(occurrence, safety)) continue;
      if (is_inhibited(occurrence.kind, occurrences, asked_.now)) continue;
      if (Matter* matter = add(occurrence, batch, about_batch(batch), safety)) {
        matter->jars = {batch.jar()};
        add_steps(*matter, occurrence.kind, batch);
      }
    }
  }

  void add_steps(Matter& matter, EventKind kind, const Batch& batch) const {
    const std::string name = name_of_jar(batch.jar(), setup_);
    const auto step = [&](std::string text, Fact say) {
      matter.steps.push_back({asked_.now, std::move(text), std::move(say)});
    };
    switch (kind) {
      case EventKind::vent_lid:
        return step(name + " was opened and closed again", LidPut{batch.jar(), Lid::tight});
      case EventKind::second_ready:
        return step(name + " is in the fridge", StoreAway{batch.jar(), std::nullopt});
      case EventKind::last_day_passed:
      case EventKind::discard_kefir:
        return step(name + " was thrown out", Discard{batch.jar(), std::nullopt});
      case EventKind::best_by_near:
      case EventKind::best_by_passed:
      case EventKind::last_day_near:
        return step(name + " is empty", Finish{batch.jar()});
      default:
        return;
    }
  }

  void of_jar(const JarSetup& jar) {
    for (const Occurrence& occurrence : occurrences_of(jar, household_)) {
      if (!is_wanted(occurrence, false)) continue;
      if (Matter* matter = add(occurrence, jar, "jar-" + jar.id.text(), false)) {
        matter->jars = {jar.id};
        matter->steps.push_back({asked_.now, jar.name + " was washed", Wash{jar.id}});
      }
    }
  }

  void of_culture(const CultureSetup& culture) {
    const std::string about = "culture-" + culture.id.text();
    for (const Occurrence& occurrence : occurrences_of(culture, household_)) {
      const bool safety = is_safety(occurrence.kind);
      if (!is_wanted(occurrence, safety)) continue;
      // Grains that wait for milk are spoken of with their next feeding.
      if (occurrence.kind == EventKind::grains_hungry &&
          household_.book().grains(culture.id).out_of_milk()) {
        continue;
      }
      Matter* matter = add(occurrence, culture, about, safety);
      if (matter == nullptr || occurrence.kind != EventKind::discard_grains) continue;
      for (const Batch* batch : household_.book().fermenting_of(culture.id)) {
        matter->jars.push_back(batch->jar());
        matter->steps.push_back({asked_.now, name_of_jar(batch->jar(), setup_) + " was thrown out",
                                 Discard{batch->jar(), std::nullopt}});
      }
    }
    if (safety_) return;
    const auto& learned = household_.paces().all();
    const auto known = learned.find(culture.id);
    if (known == learned.end() || household_.book().grains(culture.id).suspected()) return;
    const CultureHealth& health = known->second.health();
    const std::vector<Occurrence> changes = occurrences_of(culture.id, health);
    for (std::size_t i = 0; i < changes.size(); ++i) {
      if (!is_wanted(changes[i], false)) continue;
      const Announcement said = worded(changes[i], culture.id, health.changes()[i], household_);
      keep(said, Urgency::whenever, about, false);
    }
  }

  void of_place(const PlaceSetup& place) {
    const std::string about = "place-" + place.id.text();
    for (const Occurrence& occurrence : occurrences_of(place, household_)) {
      const bool safety = is_safety(occurrence.kind);
      if (is_wanted(occurrence, safety)) (void)add(occurrence, place, about, safety);
    }
    if (safety_ || !place.has_thermometer || !is_used(place)) return;
    const auto nothing_said = [](const std::string&) -> std::optional<Instant> { return {}; };
    for (const Occurrence& occurrence :
         occurrences_of(place.id, household_.places().thermometer(place.id), asked_.listening_since,
                        nothing_said)) {
      if (is_wanted(occurrence, false)) (void)add(occurrence, place, about, false);
    }
  }

  // A thermometer matters while something stands beside it.
  [[nodiscard]] bool is_used(const PlaceSetup& place) const {
    return !household_.have_stood_at(place.id).empty();
  }

  template <class Thing>
  Matter* add(const Occurrence& occurrence, const Thing& thing, const std::string& about,
              bool safety) {
    const auto urgency = safety ? std::optional(Urgency::now) : urgency_of(occurrence.kind);
    if (!urgency) return nullptr;
    Occurrence as_of_now = occurrence;
    as_of_now.time = asked_.now;  // worded as it stands
    return keep(worded(as_of_now, thing, household_, asked_.now), *urgency, about, safety);
  }

  Matter* keep(const Announcement& said, Urgency urgency, const std::string& about, bool safety) {
    Matter matter;
    matter.key = said.id;
    matter.about = about;
    matter.urgency = urgency;
    matter.is_safety = safety;
    matter.text = said.text;
    matter.caution = said.caution;
    matters_.push_back(std::move(matter));
    return &matters_.back();
  }

  const Household& household_;
  const HouseholdSetup& setup_;
  const CareAsked& asked_;
  bool safety_;
  std::vector<Matter> matters_;
};

}  // namespace

std::vector<Matter> safety_matters(const Household& household, const CareAsked& asked) {
  return Carer(household, asked, true).matters();
}

std::vector<Matter> care_matters(const Household& household, const CareAsked& asked) {
  return Carer(household, asked, false).matters();
}

}  // namespace wheymark
