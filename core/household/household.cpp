#include "core/household/household.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

#include "core/announce/grain_needs.hpp"
#include "core/announce/occurrences.hpp"
#include "core/announce/sentences.hpp"
#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "core/pace/rested_pace.hpp"
#include "core/record/completion.hpp"
#include "core/record/local_time.hpp"

namespace wheymark {
namespace {

// What is needed of the air that has been is asked of every batch, so not at every reading.
constexpr std::chrono::hours forget_air_every{6};

// Doubt grows slowly, and each step of it costs a forecast.
constexpr double doubt_step_k = 0.5;
constexpr std::chrono::minutes doubt_weighed_every{5};

// Of the id of something that was said of a place; else empty. See moment_ids.hpp.
PlaceId place_in(const std::string& id) {
  constexpr std::string_view before = "place-";
  if (!id.starts_with(before)) return "";
  return id.substr(before.size(), id.find('.') - before.size());
}

}  // namespace

Household::Household(HouseholdSetup setup, const Parameters& parameters)
    : setup_(std::move(setup)),
      wanted_grains_g_(wanted_grains_g(setup_)),
      parameters_(parameters),
      tables_(parameters),
      unknown_(parameters) {
  for (const PlaceSetup& place : setup_.places) {
    places_.emplace(place.id, PlaceState{Thermometer(place.has_thermometer, place.silent_after),
                                         PlaceAir(place.kind),
                                         {}});
  }
  for (const CultureSetup& culture : setup_.cultures) learning_.try_emplace(culture.id, unknown_);
  for (const PlaceSetup& place : setup_.places) doubts_.schedule(place.id, Instant::min());
  look_at_everything_again();
}

// --- applying -----------------------------------------------------------------------------------

void Household::listen_from(Instant instant) {
  listening_since_ = instant;
  for (const PlaceSetup& place : setup_.places) mark_changed(Subject::of_place(place.id));
}

void Household::hear(const PlaceId& place, Instant now) {
  const auto found = places_.find(place);
  if (found == places_.end()) return;
  found->second.thermometer.heard(now);
  changed_.add(Subject::of_place(place));
}

void Household::weigh_thermometers(Instant now) {
  for (const PlaceId& id : doubts_.due(now)) {
    PlaceState& place = places_.at(id);
    const double doubt_k = doubt_step_k * std::round(place.thermometer.doubt_k(now) / doubt_step_k);
    const Instant again = now + doubt_weighed_every;
    doubts_.schedule(id, std::max(again, place.thermometer.doubted_from().value_or(again)));
    if (doubt_k == place.air.doubt_k()) continue;
    place.air.doubt(doubt_k);
    for (const std::uint64_t number : have_stood_at(id)) {
      const Batch& batch = *book().numbered(number);
      if (batch.place() != id) continue;
      look_ahead(batch);
      mark_changed(batch);
    }
  }
}

void Household::weigh_all_thermometers(Instant now) {
  for (const PlaceSetup& place : setup_.places) doubts_.schedule(place.id, now);
  weigh_thermometers(now);
}

void Household::clock_went_back(Instant now) {
  for (auto& [id, place] : places_) place.thermometer.clock_went_back(now);
  weigh_all_thermometers(now);
  look_at_everything_again();
}

void Household::apply(const Entry& entry) {
  // A person's word stands in the kitchen as the readings before it left that.
  if (!std::holds_alternative<ReadingTaken>(entry)) follow_what_waits();
  std::visit([this](const auto& what) { take(what); }, entry);
}

void Household::take(const ReadingTaken& taken) {
  const auto found = places_.find(taken.place);
  if (found == places_.end()) return;  // a place that has left the plan since
  PlaceState& place = found->second;
  const auto before = place.news();
  const bool clock_went_back = place.air.would_go_back(taken.at);
  place.thermometer.read(taken.at, taken.air);
  place.air.read({taken.at, taken.air}, setup_);
  if (place.was_spoken_of || place.news() != before) {
    mark_changed(Subject::of_place(taken.place));
  } else if (!restoring_) {
    changed_.add(Subject::of_place(taken.place));
  }
  place.was_spoken_of = false;
  if (place.air.doubt_k() > 0.0) {
    doubts_.schedule(taken.place, Instant::min());
  } else {
    doubts_.schedule_by(taken.place, place.thermometer.doubted_from().value_or(taken.at));
  }
  if (clock_went_back) follow_again_from(taken.at);
  const bool forgets = is_time_to_forget_air(place, taken.at);
  if (restoring_ && !forgets) {
    not_followed_.insert(taken.place);
    return;
  }
  follow_what_waits();
  follow_those_at(taken.place);
  if (forgets) forget_past_air(place, taken.at);
}

void Household::follow_those_at(const PlaceId& place) {
  const auto there = stood_at_.find(place);
  if (there == stood_at_.end()) return;
  for (const std::uint64_t number : there->second) follow(*book().numbered(number));
}

void Household::follow_what_waits() {
  for (const PlaceId& place : std::exchange(not_followed_, {})) follow_those_at(place);
}

void Household::take(const ReadingDoubted& doubted) {
  const auto found = places_.find(doubted.place);
  if (found == places_.end()) return;
  found->second.thermometer.doubted(doubted.at, doubted.air);
  mark_changed(Subject::of_place(doubted.place));
  doubts_.schedule(doubted.place, Instant::min());
}

void Household::take(const FactRecord& record) {
  if (ledger_.changes_the_past(record)) {
    const std::vector<Batch> before = book().batches();
    ledger_.take(record);
    follow_all_that_changed_since(before);
    remember_if_told_after_the_end(record.number);
    look_at_everything_again();
    return;
  }
  ledger_.take(record);
  mark_changed(record);
  for (const std::uint64_t number : book().changed_batches()) {
    const Batch& batch = *book().numbered(number);
    // The latest of all facts, but told after readings that were followed without it.
    const Ferment* known = ferment(batch);
    if (known != nullptr && known->has_gone_beyond(record.at)) ferments_.erase(number);
    follow(batch);
    forget_if_ended(number);
  }
}

void Household::remember_if_told_after_the_end(std::uint64_t fact) {
  for (const Batch& batch : book().batches()) {
    const bool stored_by = std::any_of(batch.stored.begin(), batch.stored.end(),
                                       [&](const Stored& s) { return s.fact == fact; });
    const bool strained_by = batch.strained && batch.strained->fact == fact;
    if (batch.ended && (strained_by || stored_by)) told_after_the_end_.insert(batch.number);
  }
}

void Household::take(const Announced& announced) {
  said_.insert(announced.id);
  if (const auto place = places_.find(place_in(announced.id)); place != places_.end()) {
    place->second.was_spoken_of = true;
  }
  const auto about = about_to_be_said_.find(announced.id);
  if (about == about_to_be_said_.end()) return;
  mark_changed(about->second);
  about_to_be_said_.erase(about);
}

void Household::follow_after_peak(const Batch& batch) {
  if (batch.lid != Lid::tight) lids_.erase(batch.number);
  if (!batch.stored.empty()) {
    ageings_.try_emplace(batch.number, batch, setup_, parameters_)
        .first->second.follow(batch, air_of());
  }
  if (batch.lid == Lid::tight) {
    lids_.try_emplace(batch.number, batch, setup_, parameters_)
        .first->second.follow(batch, air_of());
  }
}

void Household::follow(const Batch& batch) {
  mark_changed(batch);
  if (!batch.ended) {
    running_.insert(batch.number);
    for (const Stay& stay : batch.stays) stood_at_[stay.place].insert(batch.number);
    follow_after_peak(batch);
  }
  auto found = ferments_.find(batch.number);
  if (found == ferments_.end()) {
    // What it taught stays as it was learned: its air is not known any more.
    if (batch.ended && batch.started < air_known_since_) return;
    found =
        ferments_
            .emplace(batch.number, Ferment(batch, setup_, belief_of(batch), parameters_, tables_))
            .first;
  }
  found->second.follow(batch, air_of());
  look_ahead(batch);
  if (batch.fermenting()) return;
  if (batch.ended || found->second.reports_are_settled(batch)) learn_from(batch, found->second);
  if (batch.ended) ferments_.erase(batch.number);
}

void Household::look_ahead(const Batch& batch) {
  const auto ferment = ferments_.find(batch.number);
  if (!restoring_ && ferment != ferments_.end()) ferment->second.look_ahead(batch, air_of());
}

void Household::end_restoring() {
  follow_what_waits();
  restoring_ = false;
  for (const std::uint64_t number : running_) look_ahead(*book().numbered(number));
  look_at_everything_again();
}

void Household::learn_from(const Batch& batch, const Ferment& ferment) {
  if (!taught_.insert(batch.number).second) return;
  const CultureId& culture = *batch.start.culture;
  const Instant out = batch.strained ? batch.strained->at : batch.ended->at;
  const PaceEvidence said = batch.after_rest
                                ? said_of_awake(ferment.evidence(), rested_pace(*batch.after_rest))
                                : ferment.evidence();
  learning(culture).learn({batch.number, out, said});
  if (!ferment.evidence().says_something()) return;
  for (const Batch* other : book().fermenting_of(culture)) {
    const auto running = ferments_.find(other->number);
    if (running == ferments_.end()) continue;
    running->second.believe(belief_of(*other));
    look_ahead(*other);
    mark_changed(*other);
  }
}

CultureLearning& Household::learning(const CultureId& culture) {
  return learning_.try_emplace(culture, unknown_).first->second;
}

BeliefAsked Household::belief_of(const Batch& batch) {
  Instant out = Instant::max();
  if (batch.ended) out = batch.ended->at;
  if (batch.strained) out = batch.strained->at;
  return [pace = learning(*batch.start.culture).pace_without(batch.number, out),
          started = batch.started, after_rest = batch.after_rest] {
    const PaceBelief belief = pace.of_a_batch(started);
    return after_rest ? believed_after_rest(belief, rested_pace(*after_rest)) : belief;
  };
}

void Household::follow_all_that_changed_since(const std::vector<Batch>& before) {
  std::map<std::uint64_t, const Batch*> earlier;
  for (const Batch& batch : before) {
    earlier.emplace(batch.number, &batch);
    if (book().numbered(batch.number) != nullptr) continue;
    mark_changed(Subject::of_batch(batch.number));
    ferments_.erase(batch.number);  // its start was taken back
    taught_.erase(batch.number);
    learning(*batch.start.culture).forget(batch.number);
  }
  for (const Batch& batch : book().batches()) {
    const auto old = earlier.find(batch.number);
    if (old == earlier.end() || *old->second != batch) {
      ferments_.erase(batch.number);
      taught_.erase(batch.number);
      if (batch.fermenting()) learning(*batch.start.culture).forget(batch.number);
      ageings_.erase(batch.number);
      lids_.erase(batch.number);
      follow(batch);
    }
  }
  forget_what_has_ended();
}

// Readings of the future are of a clock that was wrong. What people said then stays said.
void Household::follow_again_from(Instant instant) {
  air_known_since_ = std::min(air_known_since_, instant);
  for (const std::uint64_t number : running_) {
    const Batch& batch = *book().numbered(number);
    const auto ferment = ferments_.find(batch.number);
    if (ferment == ferments_.end() || !ferment->second.has_gone_beyond(instant)) continue;
    ferments_.erase(ferment);
    if (taught_.erase(batch.number) > 0) learning(*batch.start.culture).forget(batch.number);
  }
  std::erase_if(ageings_, [&](const auto& a) { return a.second.settled_at() > instant; });
  std::erase_if(lids_, [&](const auto& l) { return l.second.settled_at() > instant; });
  for (const std::uint64_t number : running_) follow(*book().numbered(number));
  look_at_everything_again();
}

void Household::forget_what_has_ended() {
  const std::vector<std::uint64_t> followed(running_.begin(), running_.end());
  for (const std::uint64_t number : followed) forget_if_ended(number);
}

void Household::forget_if_ended(std::uint64_t number) {
  const Batch* batch = book().numbered(number);
  if (batch != nullptr && !batch->ended) return;
  running_.erase(number);
  ferments_.erase(number);
  ageings_.erase(number);
  lids_.erase(number);
  if (batch == nullptr) {  // its start was taken back
    for (auto& [place, numbers] : stood_at_) numbers.erase(number);
    return;
  }
  for (const Stay& stay : batch->stays) stood_at_[stay.place].erase(number);
}

bool Household::is_time_to_forget_air(const PlaceState& place, Instant now) {
  return now < place.forgot_air_at || now >= place.forgot_air_at + forget_air_every;
}

void Household::forget_past_air(PlaceState& place, Instant now) {
  place.forgot_air_at = now;
  place.air.forget_before(air_needed_since(now), setup_);
}

// Once for all places. What it was when it was last asked is never too late: it grows as batches
// end, and one that begins anew needs no air of before limits::fact_age_max.
Instant Household::air_needed_since(Instant now) {
  if (now >= asked_of_air_at_ && now < asked_of_air_at_ + forget_air_every) {
    return air_needed_since_;
  }
  asked_of_air_at_ = now;
  // A late fact can reach back so far, into a batch that began earlier; and a batch that waits for
  // another place's reading needs its own past.
  Instant needed = now - limits::fact_age_max - limits::batch_followed_max;
  air_known_since_ = std::max(air_known_since_, needed);
  for (auto& [culture, learned] : learning_) learned.settle_before(air_known_since_);
  for (const auto& [number, ferment] : ferments_) {
    needed = std::min(needed, ferment.needs_air_since());
  }
  for (const auto& [number, ageing] : ageings_) {
    needed = std::min(needed, ageing.needs_air_since());
  }
  for (const auto& [number, lid] : lids_) needed = std::min(needed, lid.needs_air_since());
  air_needed_since_ = needed;
  return needed;
}

}  // namespace wheymark
