#include "core/household/household.hpp"

#include <algorithm>
#include <utility>

#include "core/basis/limits.hpp"
#include "core/household/told_to_strain.hpp"

namespace wheymark {
namespace {

// How far back air is needed is asked of every batch, which is too dear at every reading.
constexpr std::chrono::hours air_needed_asked_every{6};

// A backlog comes within seconds, and each folding of it costs as much as a late fact.
constexpr std::chrono::seconds late_readings_wait{5};

}  // namespace

Household::Household(HouseholdSetup setup, const Parameters& parameters)
    : setup_(std::move(setup)),
      wanted_grains_g_(wanted_grains_g(setup_)),
      parameters_(parameters),
      tables_(parameters),
      places_(setup_),
      paces_(setup_, parameters) {
  for (const CultureSetup& culture : setup_.cultures) {
    if (!culture.usual.empty()) weigh_usual(culture.id);
  }
  mark_everything_changed();
}

// --- readings -----------------------------------------------------------------------------------

void Household::hear(const PlaceId& place, Instant now) {
  if (places_.hear(place, now)) changed_.add(Subject::of_place(place));
}

void Household::hear_nonsense(const PlaceId& place, const std::string& what, Instant now) {
  if (places_.hear_nonsense(place, what, now)) mark_changed(Subject::of_place(place));
}

void Household::hear_away(const PlaceId& place, const std::string& said) {
  if (places_.hear_away(place, said)) mark_changed(Subject::of_place(place));
}

void Household::are_at_odds(const PlaceId& place, const std::string& which) {
  if (places_.are_at_odds(place, which)) mark_changed(Subject::of_place(place));
}

void Household::weigh_thermometers(Instant now) {
  if (!late_.empty() && !folds_late_at_) folds_late_at_ = now + late_readings_wait;
  if (folds_late_at_ && now >= *folds_late_at_) fold_late_readings();
  for (const PlaceId& id : places_.weigh_doubts(now)) {
    for (const std::uint64_t number : have_stood_at(id)) {
      const Batch& batch = *book().numbered(number);
      if (batch.place() != id) continue;
      look_ahead(batch);
      mark_changed(batch);
    }
  }
}

void Household::weigh_all_thermometers(Instant now) {
  fold_late_readings();
  places_.weigh_all_next_time();
  weigh_thermometers(now);
}

void Household::clock_went_back(Instant now) {
  places_.clock_went_back(now);
  weigh_all_thermometers(now);
  mark_everything_changed();
}

void Household::apply(const Entry& entry) {
  // Before any entry but a reading is applied, the readings before it are followed.
  const auto* taken = std::get_if<ReadingTaken>(&entry);
  if (taken == nullptr) follow_what_waits();
  // Late ones wait for each other alone, so that the order in which they come does not matter.
  if (taken == nullptr || !taken->is_late) fold_late_readings();
  std::visit([this](const auto& kind) { apply_entry(kind); }, entry);
}

void Household::apply_entry(const ReadingTaken& taken) {
  const auto applied = places_.apply(taken);
  if (!applied) return;  // a place that has left the setup since
  if (applied->is_late) {
    const auto [late, is_first] = late_.emplace(taken.place, taken.at);
    if (!is_first) late->second = std::min(late->second, taken.at);
    return;
  }
  if (applied->is_news) {
    mark_changed(Subject::of_place(taken.place));
  } else if (!restoring_) {
    changed_.add(Subject::of_place(taken.place));
  }
  if (applied->clock_went_back) follow_again_from(taken.at);
  const bool forgets = places_.is_time_to_forget(taken.place, taken.at);
  if (restoring_ && !forgets) {
    not_followed_.insert(taken.place);
    return;
  }
  follow_what_waits();
  follow_those_at(taken.place);
  if (forgets) places_.forget_before(taken.place, air_needed_since(taken.at), taken.at);
}

void Household::apply_entry(const ReadingDoubted& doubted) {
  if (places_.apply(doubted)) mark_changed(Subject::of_place(doubted.place));
}

void Household::follow_those_at(const PlaceId& place) {
  for (const std::uint64_t number : have_stood_at(place)) follow(*book().numbered(number));
}

void Household::follow_what_waits() {
  for (const PlaceId& place : std::exchange(not_followed_, {})) follow_those_at(place);
}

void Household::fold_late_readings() {
  folds_late_at_.reset();
  if (late_.empty()) return;
  follow_what_waits();
  Instant earliest = Instant::max();
  for (const auto& [place, at] : std::exchange(late_, {})) {
    places_.fold_late(place);
    earliest = std::min(earliest, at);
  }
  follow_again_from(earliest);
}

// Asked once for all places. An old answer is never too late: the instant only grows as batches
// end, and a new batch needs no air from before limits::fact_age_max.
Instant Household::air_needed_since(Instant now) {
  if (now >= asked_of_air_at_ && now < asked_of_air_at_ + air_needed_asked_every) {
    return air_needed_since_;
  }
  asked_of_air_at_ = now;
  // A late fact can reach back this far, into a batch that began earlier; and a batch that waits
  // for another place's reading needs its own past.
  Instant needed = now - limits::fact_age_max - limits::batch_followed_max;
  air_known_since_ = std::max(air_known_since_, needed);
  paces_.settle_before(air_known_since_);
  for (const auto& [number, running] : running_) {
    needed = std::min(needed, running.needs_air_since());
  }
  air_needed_since_ = needed;
  return needed;
}

// --- facts --------------------------------------------------------------------------------------

void Household::apply_entry(const Announced& announced) {
  note_told(announced.id, announced.at);
}

void Household::apply_entry(const Noticed& noticed) {
  for (const std::string& matter : noticed.matters) note_told(matter, noticed.at);
}

void Household::note_told(const std::string& id, Instant at) {
  constexpr std::size_t remembered = 256;  // more than what late reports can still change
  const auto batch = told_to_strain(id);
  if (!batch) return;
  told_to_strain_[*batch].push_back(at);
  if (told_to_strain_.size() > remembered) told_to_strain_.erase(told_to_strain_.begin());
  const auto running = running_.find(*batch);
  if (running != running_.end()) running->second.fermentation().told_to_strain(at);
}

void Household::apply_entry(const FactRecord& record) {
  if (ledger_.changes_the_past(record)) {
    const std::vector<Batch> before = book().batches();
    ledger_.apply(record);
    weigh_usual(record.fact);
    follow_all_that_changed_since(before);
    remember_if_reported_after_the_end(record.number);
    mark_everything_changed();
    return;
  }
  ledger_.apply(record);
  weigh_usual(record.fact);
  mark_changed(record);
  for (const std::uint64_t number : book().changed_batches()) {
    const Batch& batch = *book().numbered(number);
    // The latest of all facts, but reported after readings that were followed without it.
    const RunningBatch* known = running(batch);
    if (known != nullptr && known->has_gone_beyond(record.at)) running_.erase(number);
    note_stays(batch);
    follow(batch);
    forget_if_ended(number);
  }
}

void Household::remember_if_reported_after_the_end(std::uint64_t fact) {
  for (const Batch& batch : book().batches()) {
    const bool stored_by = std::any_of(batch.stored.begin(), batch.stored.end(),
                                       [&](const Stored& s) { return s.fact == fact; });
    const bool strained_by = batch.strained && batch.strained->fact == fact;
    const bool started_by = batch.number == fact;
    if (batch.ended && !batch.remembered && (started_by || strained_by || stored_by)) {
      reported_after_the_end_.insert(batch.number);
    }
  }
}

void Household::follow_all_that_changed_since(const std::vector<Batch>& before) {
  std::map<std::uint64_t, const Batch*> earlier;
  for (const Batch& batch : before) {
    earlier.emplace(batch.number, &batch);
    if (book().numbered(batch.number) != nullptr) continue;
    mark_changed(Subject::of_batch(batch.number));  // its start was retracted
    forget_if_ended(batch.number);
    paces_.forget(batch);
  }
  for (const Batch& batch : book().batches()) {
    const auto old = earlier.find(batch.number);
    if (old != earlier.end() && *old->second == batch) continue;
    running_.erase(batch.number);
    paces_.teaches_again(batch.number);
    if (batch.fermenting()) paces_.forget(batch);
    note_stays(batch);
    follow(batch);
  }
  forget_what_has_ended();
}

// Readings in the future came from a wrong clock. What people reported then stays.
void Household::follow_again_from(Instant instant) {
  air_known_since_ = std::min(air_known_since_, instant);
  std::vector<std::uint64_t> followed;
  for (const auto& [number, running] : running_) followed.push_back(number);
  for (const std::uint64_t number : followed) {
    if (!running_.at(number).has_gone_beyond(instant)) continue;
    running_.erase(number);
    paces_.forget_if_taught(*book().numbered(number));
  }
  for (const std::uint64_t number : followed) follow(*book().numbered(number));
  mark_everything_changed();
}

// --- batches ------------------------------------------------------------------------------------

void Household::follow(const Batch& batch) {
  mark_changed(batch);
  if (batch.remembered) return remember(batch);
  auto found = running_.find(batch.number);
  if (found != running_.end() && found->second.lacked(places_.air_of())) {
    running_.erase(found);
    paces_.forget_if_taught(batch);
    found = running_.end();
  }
  if (found == running_.end()) {
    // What it taught stays as it was learned, because its air is no longer known.
    if (batch.ended && batch.started < air_known_since_) return;
    found = running_
                .emplace(batch.number,
                         RunningBatch(batch, setup_, paces_.belief_of(batch), parameters_, tables_))
                .first;
    const auto told = told_to_strain_.find(batch.number);
    if (told != told_to_strain_.end()) {
      for (const Instant at : told->second) found->second.fermentation().told_to_strain(at);
    }
  }
  RunningBatch& running = found->second;
  running.follow(batch, places_.air_of());
  look_ahead(batch);
  if (batch.fermenting()) return;
  if (!batch.share_of && (batch.ended || running.fermentation().reports_are_settled(batch))) {
    learn_from(batch, running.fermentation());
  }
  if (batch.ended) running_.erase(batch.number);
}

void Household::note_stays(const Batch& batch) {
  if (batch.ended) return;
  for (const Stay& stay : batch.stays) stood_at_[stay.place].insert(batch.number);
}

void Household::look_ahead(const Batch& batch) {
  const auto running = running_.find(batch.number);
  if (restoring_ || running == running_.end()) return;
  running->second.look_ahead(batch, places_.air_of());
}

void Household::learn_from(const Batch& batch, const Fermentation& fermentation) {
  if (paces_.learn_from(batch, fermentation)) believe_anew(*batch.start.culture);
}

void Household::believe_anew(const CultureId& culture) {
  for (const Batch* other : book().fermenting_of(culture)) {
    const auto running = running_.find(other->number);
    if (running == running_.end()) continue;
    running->second.fermentation().believe(paces_.belief_of(*other));
    look_ahead(*other);
    mark_changed(*other);
  }
}

void Household::end_restoring() {
  fold_late_readings();
  follow_what_waits();
  restoring_ = false;
  for (const auto& [number, running] : running_) look_ahead(*book().numbered(number));
  mark_everything_changed();
}

void Household::forget_what_has_ended() {
  std::vector<std::uint64_t> followed;
  for (const auto& [place, numbers] : stood_at_) {
    followed.insert(followed.end(), numbers.begin(), numbers.end());
  }
  for (const std::uint64_t number : followed) forget_if_ended(number);
}

void Household::forget_if_ended(std::uint64_t number) {
  const Batch* batch = book().numbered(number);
  if (batch != nullptr && !batch->ended) return;
  running_.erase(number);
  for (auto& [place, numbers] : stood_at_) numbers.erase(number);
}

// --- what has changed ---------------------------------------------------------------------------

void Household::mark_changed(const Subject& subject) {
  if (restoring_) return;  // all are marked when it ends
  news_.add(subject);
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
        if constexpr (requires { fact.jar.text(); }) mark_changed(Subject::of_jar(fact.jar));
        if constexpr (requires { fact.culture.text(); }) {
          mark_changed(Subject::of_culture(fact.culture));
        }
      },
      record.fact);
  if (const auto* split = std::get_if<Split>(&record.fact)) {
    mark_changed(Subject::of_culture(split->into));
  }
  if (const auto* said = std::get_if<Inspect>(&record.fact)) {
    mark_changed(Subject::of_culture(*said->culture));
    // Empty jars that held its grains are suspect as well.
    for (const JarSetup& jar : setup_.jars) mark_changed(Subject::of_jar(jar.id));
  }
  if (const auto* strain = std::get_if<Strain>(&record.fact)) {
    for (const Portion& portion : strain->into) mark_changed(Subject::of_jar(portion.jar));
  }
  for (const std::uint64_t number : book().changed_batches()) {
    const Batch& batch = *book().numbered(number);
    mark_changed(batch);
    for (const Stay& stay : batch.stays) mark_changed(Subject::of_place(stay.place));
  }
  // The stock is told of with the fridges, wherever else a bottle stands.
  for (const PlaceSetup& place : setup_.places) {
    if (place.kind == PlaceKind::fridge) mark_changed(Subject::of_place(place.id));
  }
}

void Household::mark_everything_changed() {
  for (const Batch& batch : book().batches()) {
    if (!batch.ended) mark_changed(batch);
  }
  for (const std::uint64_t number : reported_after_the_end_)
    mark_changed(Subject::of_batch(number));
  for (const auto& [culture, learned] : paces_.all()) mark_changed(Subject::of_culture(culture));
  for (const CultureSetup& culture : setup_.cultures) mark_changed(Subject::of_culture(culture.id));
  for (const JarSetup& jar : setup_.jars) mark_changed(Subject::of_jar(jar.id));
  for (const PlaceSetup& place : setup_.places) mark_changed(Subject::of_place(place.id));
}

}  // namespace wheymark
