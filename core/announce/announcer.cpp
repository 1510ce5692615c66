#include "core/announce/announcer.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <utility>

#include "core/announce/occurrence_ids.hpp"
#include "core/announce/sentences.hpp"
#include "core/household/not_souring.hpp"

namespace wheymark {
namespace {

// The events after which this one is no news: what has come makes a warning of it pointless, and
// what has passed needs no word that it began.
std::span<const EventKind> overtaken_by(EventKind kind) {
  using enum EventKind;
  static constexpr std::array after_near{peak_open, peak_closing, over_fermented};
  static constexpr std::array after_open{peak_closing, over_fermented};
  static constexpr std::array after_closing{over_fermented};
  static constexpr std::array after_best_by_near{best_by_passed, last_day_near, last_day_passed};
  static constexpr std::array after_best_by{last_day_passed};
  switch (kind) {
    case peak_near:
      return after_near;
    case peak_open:
      return after_open;
    case peak_closing:
      return after_closing;
    case best_by_near:
      return after_best_by_near;
    case best_by_passed:
    case last_day_near:
      return after_best_by;
    default:
      return {};
  }
}

// The first of the bottles of older kefir onto which a batch was poured, while it is there; or
// null.
const Batch* first_taker_of(const Batch& younger, const JarBook& book) {
  for (const Portion& portion : younger.strained->said.into) {
    const Batch* older = book.in_jar(portion.jar);
    if (older == nullptr) continue;
    for (const Mixed& poured_on : older->mixed) {
      if (poured_on.batch == younger.number) return older;
    }
  }
  return nullptr;
}

}  // namespace

Announcer::Announcer(Household& household) : household_(household) {
  for (const PlaceSetup& place : household.setup().places) spoken_of_.insert(place.id);
}

// --- entries ------------------------------------------------------------------------------------

void Announcer::apply(const Entry& entry) {
  if (const auto* taken = std::get_if<ReadingTaken>(&entry)) {
    if (spoken_of_.erase(taken->place) > 0) not_on_agenda_.add(Subject::of_place(taken->place));
  } else if (const auto* announced = std::get_if<Announced>(&entry)) {
    announced_.insert_or_assign(announced->id, announced->at);
    const auto place = place_of_id(announced->id);
    if (place && household_.setup().place(*place) != nullptr) spoken_of_.insert(*place);
  }
}

void Announcer::listen_from(Instant instant) {
  listening_since_ = instant;
  for (const PlaceSetup& place : household_.setup().places) {
    not_on_agenda_.add(Subject::of_place(place.id));
  }
}

// --- what is due --------------------------------------------------------------------------------

std::vector<Announcement> Announcer::due(Instant now) {
  bring_agenda_up_to_date();
  std::vector<Subject> subjects = agenda_.due(now);
  std::sort(subjects.begin(), subjects.end());
  std::vector<Pending> all;
  for (const Subject& subject : subjects) {
    not_on_agenda_.add(subject);  // it may have been put off meanwhile
    for (Pending& pending : pending_of(subject, now)) {
      if (pending.occurrence.time <= now) all.push_back(std::move(pending));
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const Pending& a, const Pending& b) {
    return a.occurrence.time < b.occurrence.time;
  });
  std::vector<Announcement> announcements;
  announcements.reserve(all.size());
  for (const Pending& pending : all) announcements.push_back(announcement_of(pending, now));
  return announcements;
}

Announcement Announcer::announcement_of(const Pending& pending, Instant now) const {
  Announcement out = std::visit(
      [&](const auto& about) {
        if constexpr (std::is_same_v<std::decay_t<decltype(about)>, PaceChanged>) {
          return worded(pending.occurrence, about.culture, about.change, household_);
        } else {
          return worded(pending.occurrence, *about, household_, now);
        }
      },
      pending.about);
  out.about = pending.subject;
  return out;
}

std::optional<Instant> Announcer::next_due() {
  bring_agenda_up_to_date();
  return agenda_.next();
}

void Announcer::bring_agenda_up_to_date() {
  for (const Subject& subject : household_.drain_news()) not_on_agenda_.add(subject);
  for (const Subject& subject : not_on_agenda_.drain()) {
    std::optional<Instant> next;
    for (const Pending& pending : pending_of(subject, Instant::min())) {
      if (!next || pending.occurrence.time < *next) next = pending.occurrence.time;
    }
    agenda_.schedule(subject, next);
  }
}

// --- what there is to announce ------------------------------------------------------------------

Told Announcer::told() const {
  return [this](const std::string& id) -> std::optional<Instant> {
    const auto found = announced_.find(id);
    return found == announced_.end() ? std::nullopt : std::optional(found->second);
  };
}

void Announcer::add_unannounced(std::vector<Pending>& pending,
                                const std::vector<Occurrence>& occurrences, const About& about,
                                const Subject& subject, Instant overtaken_at) const {
  const auto has_come = [&](EventKind kind) {
    return std::any_of(occurrences.begin(), occurrences.end(), [&](const Occurrence& o) {
      return o.kind == kind && (o.time <= overtaken_at || was_announced(o.id));
    });
  };
  for (const Occurrence& occurrence : occurrences) {
    const auto later = overtaken_by(occurrence.kind);
    if (was_announced(occurrence.id) || std::any_of(later.begin(), later.end(), has_come)) continue;
    pending.push_back({occurrence, about, subject});
  }
}

void Announcer::add_of_batch(std::vector<Pending>& pending, const Subject& subject,
                             Instant overtaken_at) const {
  const JarBook& book = household_.book();
  const auto& reported_after_the_end = household_.reported_after_the_end();
  const Batch* batch = book.numbered(subject.batch);
  if (batch == nullptr) return;
  // All that there was to announce of it was announced before it ended, unless it was reported
  // later.
  if (batch->ended && !reported_after_the_end.contains(batch->number)) return;
  // What must be thrown out has no peak, and neither has milk that does not sour.
  const bool has_a_peak =
      book.suspicion(*batch) == nullptr && !not_souring(household_, *batch).has_value();
  const Fermentation* fermentation = has_a_peak ? household_.fermentation(*batch) : nullptr;
  add_unannounced(pending, occurrences_of(*batch, fermentation, household_, told()), batch, subject,
                  overtaken_at);
  add_unannounced(pending, occurrences_after_peak(*batch, household_), batch, subject,
                  overtaken_at);
  // Except for the batch that was poured onto this one, which ended by that.
  if (batch->mixed.empty()) return;
  const Batch* younger = book.numbered(batch->mixed.back().batch);
  // Another subject tells of a batch that goes on elsewhere, and of what was told late.
  if (!younger->ended || reported_after_the_end.contains(younger->number)) return;
  if (first_taker_of(*younger, book) != batch) return;  // poured onto several, it is told of once
  add_unannounced(pending, occurrences_of(*younger, nullptr, household_, told()), younger, subject,
                  overtaken_at);
}

void Announcer::add_of_culture(std::vector<Pending>& pending, const Subject& subject,
                               Instant overtaken_at) const {
  const auto& learned = household_.paces().all();
  const auto known = learned.find(subject.culture());
  const bool suspect = household_.book().grains(subject.culture()).suspected().has_value();
  if (known != learned.end() && !suspect) {
    const CultureHealth& health = known->second.health();
    const std::vector<Occurrence> occurrences = occurrences_of(subject.culture(), health);
    for (std::size_t i = 0; i < occurrences.size(); ++i) {
      add_unannounced(pending, {occurrences[i]},
                      PaceChanged{subject.culture(), health.changes()[i]}, subject, overtaken_at);
    }
  }
  if (const CultureSetup* culture = household_.setup().culture(subject.culture())) {
    add_unannounced(pending, occurrences_of(*culture, household_), culture, subject, overtaken_at);
  }
}

std::vector<Announcer::Pending> Announcer::pending_of(const Subject& subject,
                                                      Instant overtaken_at) const {
  std::vector<Pending> pending;
  const HouseholdSetup& setup = household_.setup();
  switch (subject.kind) {
    case Subject::Kind::batch:
      add_of_batch(pending, subject, overtaken_at);
      break;
    case Subject::Kind::culture:
      add_of_culture(pending, subject, overtaken_at);
      break;
    case Subject::Kind::jar:
      if (const JarSetup* jar = setup.jar(subject.jar())) {
        add_unannounced(pending, occurrences_of(*jar, household_), jar, subject, overtaken_at);
      }
      break;
    case Subject::Kind::place:
      if (const PlaceSetup* place = setup.place(subject.place())) {
        add_unannounced(pending, occurrences_of(*place, household_), place, subject, overtaken_at);
        add_unannounced(pending,
                        occurrences_of(place->id, household_.places().thermometer(place->id),
                                       listening_since_, told()),
                        place, subject, overtaken_at);
      }
      break;
  }
  return pending;
}

}  // namespace wheymark
