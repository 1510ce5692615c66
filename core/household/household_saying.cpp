// What a household has to say, and when: kept apart from what it takes in (household.cpp).
//
// An agenda knows of each batch, culture, jar and place when there will be something to say of it.
// Whatever changes is touched, and only what was touched is looked at again.
#include <algorithm>
#include <utility>

#include "core/household/happenings.hpp"
#include "core/household/household.hpp"
#include "core/household/sentences.hpp"

namespace wheymark {
namespace {

// What makes a warning pointless once it has come; nothing for what is no warning.
std::optional<Happening> warned_of(Happening kind) {
  if (kind == Happening::peak_near) return Happening::peak_open;
  if (kind == Happening::peak_closing) return Happening::over_fermented;
  if (kind == Happening::best_by_near) return Happening::best_by_passed;
  if (kind == Happening::last_day_near) return Happening::last_day_passed;
  return std::nullopt;
}

// Whether a row of moments has one of this kind that makes `condition` true.
template <class Condition>
bool any_of_kind(const std::vector<Moment>& moments, Happening kind, Condition condition) {
  return std::any_of(moments.begin(), moments.end(),
                     [&](const Moment& m) { return m.kind == kind && condition(m); });
}

}  // namespace

std::vector<Household::Saying> Household::unsaid(const Subject& subject,
                                                 Instant overtaken_at) const {
  std::vector<Saying> sayings;
  const auto said = [this](const std::string& id) { return said_.contains(id); };
  const auto add = [&](const std::vector<Moment>& moments, About about) {
    for (const Moment& moment : moments) {
      const auto coming = warned_of(moment.kind);
      const bool overtaken = coming && any_of_kind(moments, *coming, [&](const Moment& m) {
                               return m.time <= overtaken_at || said(m.id);
                             });
      if (!overtaken && !said(moment.id)) sayings.push_back({moment, about});
    }
  };
  switch (subject.kind) {
    case Subject::Kind::batch: {
      const Batch* batch = kitchen().numbered(subject.batch);
      if (batch == nullptr) break;
      // Whatever there was to say of it was said before it ended, unless it was told later still.
      if (batch->ended && !told_after_the_end_.contains(batch->number)) break;
      add(moments_of(*batch, ferment(*batch), plan_.notice), batch);
      add(moments_after_peak(*batch, *this), batch);
      // But for one that was strained onto this one: that was its end.
      if (batch->mixed.empty()) break;
      const Batch* younger = kitchen().numbered(batch->mixed.back().batch);
      if (told_after_the_end_.contains(younger->number)) break;  // by itself
      add(moments_of(*younger, nullptr, plan_.notice), younger);
      break;
    }
    case Subject::Kind::culture: {
      if (const auto learned = learning_.find(subject.id); learned != learning_.end()) {
        const CultureHealth& health = learned->second.health();
        const std::vector<Moment> moments = moments_of(subject.id, health);
        for (std::size_t i = 0; i < moments.size(); ++i) {
          if (said(moments[i].id)) continue;
          sayings.push_back({moments[i], Changed{subject.id, health.changes()[i]}});
        }
      }
      if (const PlannedCulture* culture = plan_.culture(subject.id)) {
        add(moments_of(*culture, *this), culture);
      }
      break;
    }
    case Subject::Kind::jar:
      if (const PlannedJar* jar = plan_.jar(subject.id)) add(moments_of(*jar, *this), jar);
      break;
    case Subject::Kind::place:
      if (const PlannedPlace* place = plan_.place(subject.id)) {
        add(moments_of(*place, *this), place);
        add(moments_of(place->id, thermometer(place->id), listening_since_, said), place);
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
      if (saying.moment.time > now) continue;
      about_to_be_said_.insert_or_assign(saying.moment.id, subject);
      sayings.push_back(std::move(saying));
    }
  }
  std::stable_sort(sayings.begin(), sayings.end(),
                   [](const Saying& a, const Saying& b) { return a.moment.time < b.moment.time; });
  std::vector<Announcement> announcements;
  for (const Saying& saying : sayings) {
    announcements.push_back(std::visit(
        [&](const auto& about) {
          if constexpr (std::is_same_v<std::decay_t<decltype(about)>, Changed>) {
            return told(saying.moment, about.culture, about.change, *this);
          } else {
            return told(saying.moment, *about, *this, now);
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
      if (!next || saying.moment.time < *next) next = saying.moment.time;
    }
    agenda_.plan(subject, next);
  }
}

const std::vector<Subject>& Household::changed() {
  return changed_.take();
}

void Household::touch(const Subject& subject) {
  if (restoring_) return;  // all are looked at when it ends
  not_on_agenda_.add(subject);
  changed_.add(subject);
}

void Household::touch(const Batch& batch) {
  touch(Subject::of_batch(batch.number));
  touch(Subject::of_culture(*batch.start.culture));
  touch(Subject::of_jar(batch.jar()));
}

void Household::touch(const FactRecord& record) {
  std::visit(
      [this](const auto& fact) {
        if constexpr (requires { fact.jar; }) touch(Subject::of_jar(fact.jar));
        if constexpr (requires { fact.culture.size(); }) {
          touch(Subject::of_culture(fact.culture));
        }
      },
      record.fact);
  if (const auto* split = std::get_if<Split>(&record.fact)) {
    touch(Subject::of_culture(split->into));
  }
  for (const std::uint64_t number : kitchen().touched()) {
    const Batch& batch = *kitchen().numbered(number);
    touch(batch);
    for (const Stay& stay : batch.stays) touch(Subject::of_place(stay.place));
  }
}

void Household::look_at_everything_again() {
  for (const Batch& batch : kitchen().batches()) {
    if (!batch.ended) touch(batch);
  }
  for (const std::uint64_t number : told_after_the_end_) touch(Subject::of_batch(number));
  for (const auto& [culture, learned] : learning_) touch(Subject::of_culture(culture));
  for (const PlannedCulture& culture : plan_.cultures) touch(Subject::of_culture(culture.id));
  for (const PlannedJar& jar : plan_.jars) touch(Subject::of_jar(jar.id));
  for (const PlannedPlace& place : plan_.places) touch(Subject::of_place(place.id));
}

}  // namespace wheymark
