#include "plugin/library/looks.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::seconds reading_look_spacing{30};
constexpr std::chrono::minutes pictures_every{5};

}  // namespace

void Looks::look_at_everything(const HouseholdSetup& setup, Instant now) {
  agenda_.clear();
  looked_at_for_reading_.clear();
  next_picture_at_.clear();
  for (const JarSetup& jar : setup.jars) agenda_.schedule(Subject::of_jar(jar.id), now);
  for (const CultureSetup& culture : setup.cultures) {
    agenda_.schedule(Subject::of_culture(culture.id), now);
  }
  for (const PlaceSetup& place : setup.places) {
    agenda_.schedule(Subject::of_place(place.id), now);
  }
}

void Looks::schedule(const std::vector<Subject>& changed, Cause cause, Instant now) {
  for (const Subject& subject : changed) {
    if (subject.kind == Subject::Kind::batch) continue;  // its jar is among them
    if (cause != Cause::a_thermometer_read) {
      agenda_.schedule(subject, now);
      if (subject.kind == Subject::Kind::jar) next_picture_at_.erase(subject);
      continue;
    }
    const auto looked = looked_at_for_reading_.find(subject);
    const bool just_now = looked != looked_at_for_reading_.end() && looked->second <= now &&
                          now < looked->second + reading_look_spacing;
    if (just_now) {
      agenda_.schedule_by(subject, looked->second + reading_look_spacing);
    } else {
      agenda_.schedule(subject, now);
      looked_at_for_reading_.insert_or_assign(subject, now);
    }
  }
}

bool Looks::picture_is_due(const Subject& jar, Instant now) {
  const auto next = next_picture_at_.find(jar);
  if (next != next_picture_at_.end() && now < next->second) return false;
  const Instant again = std::chrono::floor<std::chrono::minutes>(now) + pictures_every;
  next_picture_at_.insert_or_assign(jar, again);
  return true;
}

}  // namespace wheymark
