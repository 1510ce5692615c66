// What a household has to say, and when: kept apart from what it takes in (household.cpp).
//
// An agenda knows of each batch, culture, jar and place when there will be something to say of it.
// Whatever changes is touched, and only what was touched is looked at again.
#include <algorithm>
#include <utility>

#include "core/announce/occurrences.hpp"
#include "core/announce/sentences.hpp"
#include "core/household/household.hpp"

namespace wheymark {
namespace {

// What makes a warning pointless once it has come; nothing for what is no warning.
std::optional<EventKind> warned_of(EventKind kind) {
  if (kind == EventKind::peak_near) return EventKind::peak_open;
  if (kind == EventKind::peak_closing) return EventKind::over_fermented;
  if (kind == EventKind::best_by_near) return EventKind::best_by_passed;
  if (kind == EventKind::last_day_near) return EventKind::last_day_passed;
  return std::nullopt;
}

// Whether a row of moments has one of this kind that makes `condition` true.
template <class Condition>
bool any_of_kind(const std::vector<Occurrence>& occurrences, EventKind kind, Condition condition) {
  return std::any_of(occurrences.begin(), occurrences.end(),
                     [&](const Occurrence& m) { return m.kind == kind && condition(m); });
}

}  // namespace

std::vector<Household::Saying> Household::unsaid(const Subject& subject,
                                                 Instant overtaken_at) const {
  std::vector<Saying> sayings;
  const auto said = [this](const std::string& id) { return said_.contains(id); };
  const auto add = [&](const std::vector<Occurrence>& occurrences, About about) {
    for (const Occurrence& occurrence : occurrences) {
      const auto coming = warned_of(occurrence.kind);
      const bool overtaken = coming && any_of_kind(occurrences, *coming, [&](const Occurrence& m) {
                               return m.time <= overtaken_at || said(m.id);
                             });
      if (!overtaken && !said(occurrence.id)) sayings.push_back({occurrence, about});
    }
  };
  switch (subject.kind) {
    case Subject::Kind::batch: {
      const Batch* batch = book().numbered(subject.batch);
      if (batch == nullptr) break;
      // Whatever there was to say of it was said before it ended, unless it was told later still.
      if (batch->ended && !told_after_the_end_.contains(batch->number)) break;
      add(occurrences_of(*batch, ferment(*batch), setup_.lead_times), batch);
      add(occurrences_after_peak(*batch, *this), batch);
      // But for one that was strained onto this one: that was its end.
      if (batch->mixed.empty()) break;
      const Batch* younger = book().numbered(batch->mixed.back().batch);
      if (told_after_the_end_.contains(younger->number)) break;  // by itself
      add(occurrences_of(*younger, nullptr, setup_.lead_times), younger);
      break;
    }
    case Subject::Kind::culture: {
      if (const auto learned = learning_.find(subject.id); learned != learning_.end()) {
        const CultureHealth& health = learned->second.health();
        const std::vector<Occurrence> occurrences = occurrences_of(subject.id, health);
        for (std::size_t i = 0; i < occurrences.size(); ++i) {
          if (said(occurrences[i].id)) continue;
          sayings.push_back({occurrences[i], Changed{subject.id, health.changes()[i]}});
        }
      }
      if (const CultureSetup* culture = setup_.culture(subject.id)) {
        add(occurrences_of(*culture, *this), culture);
      }
      break;
    }
    case Subject::Kind::jar:
      if (const JarSetup* jar = setup_.jar(subject.id)) add(occurrences_of(*jar, *this), jar);
      break;
    case Subject::Kind::place:
      if (const PlaceSetup* place = setup_.place(subject.id)) {
        add(occurrences_of(*place, *this), place);
        add(occurrences_of(place->id, thermometer(place->id), listening_since_, said), place);
      }
      break;
  }
  return sayings;
}

std::vector<Announcement> Household::due(Instant now) {
  bring_agenda_up_to_date();
  std::vector<Subject> subjects = agenda_.due(now);
  std::sort(subjects.begin(), subjects.end());
  std::vector<Saying> sayings;
  for (const Subject& subject : subjects) {
    not_on_agenda_.add(subject);  // it may have been put off meanwhile
    for (Saying& saying : unsaid(subject, now)) {
      if (saying.occurrence.time > now) continue;
      about_to_be_said_.insert_or_assign(saying.occurrence.id, subject);
      sayings.push_back(std::move(saying));
    }
  }
  std::stable_sort(sayings.begin(), sayings.end(), [](const Saying& a, const Saying& b) {
    return a.occurrence.time < b.occurrence.time;
  });
  std::vector<Announcement> announcements;
  for (const Saying& saying : sayings) {
    announcements.push_back(std::visit(
        [&](const auto& about) {
          if constexpr (std::is_same_v<std::decay_t<decltype(about)>, Changed>) {
            return told(saying.occurrence, about.culture, about.change, *this);
          } else {
            return told(saying.occurrence, *about, *this, now);
          }
        },
        saying.about));
  }
  return announcements;
}

std::optional<Instant> Household::next_due() {
  bring_agenda_up_to_date();
  return agenda_.next();
}

void Household::bring_agenda_up_to_date() {
  for (const Subject& subject : not_on_agenda_.take()) {
    std::optional<Instant> next;
    for (const Saying& saying : unsaid(subject, Instant::min())) {
      if (!next || saying.occurrence.time < *next) next = saying.occurrence.time;
    }
    agenda_.schedule(subject, next);
  }
}

const std::vector<Subject>& Household::changed() {
  return changed_.take();
}

void Household::mark_changed(const Subject& subject) {
  if (restoring_) return;  // all are looked at when it ends
  not_on_agenda_.add(subject);
  changed_.add(subject);
}

void Household::mark_changed(const Batch& batch) {
  mark_changed(Subject::of_batch(batch.number));
  mark_changed(Subject::of_culture(*batch.start.culture));
  mark_changed(Subject::of_jar(batch.jar()));
}

void Household::mark_changed(const FactRecord& record) {
  std::visit(
      [this](const auto& fact) {
        if constexpr (requires { fact.jar; }) mark_changed(Subject::of_jar(fact.jar));
        if constexpr (requires { fact.culture.size(); }) {
          mark_changed(Subject::of_culture(fact.culture));
        }
      },
      record.fact);
  if (const auto* split = std::get_if<Split>(&record.fact)) {
    mark_changed(Subject::of_culture(split->into));
  }
  for (const std::uint64_t number : book().changed_batches()) {
    const Batch& batch = *book().numbered(number);
    mark_changed(batch);
    for (const Stay& stay : batch.stays) mark_changed(Subject::of_place(stay.place));
  }
}

void Household::look_at_everything_again() {
  for (const Batch& batch : book().batches()) {
    if (!batch.ended) mark_changed(batch);
  }
  for (const std::uint64_t number : told_after_the_end_) mark_changed(Subject::of_batch(number));
  for (const auto& [culture, learned] : learning_) mark_changed(Subject::of_culture(culture));
  for (const CultureSetup& culture : setup_.cultures) mark_changed(Subject::of_culture(culture.id));
  for (const JarSetup& jar : setup_.jars) mark_changed(Subject::of_jar(jar.id));
  for (const PlaceSetup& place : setup_.places) mark_changed(Subject::of_place(place.id));
}

}  // namespace wheymark
