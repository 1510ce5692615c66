#include "core/household/household.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "core/household/completion.hpp"
#include "core/household/happenings.hpp"
#include "core/household/local_time.hpp"
#include "core/household/sentences.hpp"

namespace wheymark {

Household::Household(Plan plan, const Parameters& parameters)
    : plan_(std::move(plan)), parameters_(parameters) {
  for (const PlannedPlace& place : plan_.places) {
    places_.emplace(place.id, PlaceState{Thermometer(place.has_thermometer, place.silent_after),
                                         PlaceAir(place.kind)});
  }
  for (const PlannedCulture& culture : plan_.cultures)
    learning_.try_emplace(culture.id, parameters_);
}

// --- applying -----------------------------------------------------------------------------------

void Household::hear(const PlaceId& place, Instant now) {
  const auto found = places_.find(place);
  if (found != places_.end()) found->second.thermometer.heard(now);
}

void Household::weigh_thermometers(Instant now) {
  // In steps, because each costs a forecast.
  constexpr double step_k = 0.5;
  for (auto& [id, place] : places_) {
    const double doubt_k = step_k * std::round(place.thermometer.doubt_k(now) / step_k);
    if (doubt_k == place.air.doubt_k()) continue;
    place.air.doubt(doubt_k);
    for (const std::size_t running : running_) {
      const Batch& batch = kitchen().batches()[running];
      if (batch.place() == id) look_ahead(batch);
    }
  }
}

void Household::clock_went_back(Instant now) {
  for (auto& [id, place] : places_) place.thermometer.clock_went_back(now);
}

void Household::apply(const Entry& entry) {
  std::visit([this](const auto& what) { take(what); }, entry);
}

void Household::take(const ReadingTaken& taken) {
  const auto found = places_.find(taken.place);
  if (found == places_.end()) return;  // a place that has left the plan since
  PlaceState& place = found->second;
  const bool clock_went_back = place.air.would_go_back(taken.at);
  place.thermometer.read(taken.at, taken.air);
  place.air.read({taken.at, taken.air}, plan_);
  if (clock_went_back) follow_again_from(taken.at);
  for (const std::size_t running : running_) {
    const Batch& batch = kitchen().batches()[running];
    const bool stood_there = std::any_of(batch.stays.begin(), batch.stays.end(),
                                         [&](const Stay& s) { return s.place == taken.place; });
    if (stood_there) follow(batch);
  }
  forget_past_air(place, taken.at);
}

void Household::take(const ReadingDoubted& doubted) {
  const auto found = places_.find(doubted.place);
  if (found != places_.end()) found->second.thermometer.doubted(doubted.at, doubted.air);
}

void Household::take(const FactRecord& record) {
  if (ledger_.changes_the_past(record)) {
    const std::vector<Batch> before = kitchen().batches();
    ledger_.take(record);
    find_running();
    follow_all_that_changed_since(before);
    remember_if_told_after_the_end(record.number);
    return;
  }
  ledger_.take(record);
  find_running();
  const std::uint64_t touched = ledger_.kitchen().last_touched();
  if (const Batch* batch = kitchen().numbered(touched)) {
    // The latest of all facts, but told after readings that were followed without it.
    const Ferment* known = ferment(*batch);
    if (known != nullptr && known->has_gone_beyond(record.at)) ferments_.erase(batch->number);
    follow(*batch);
  }
  forget_what_has_ended();
}

void Household::remember_if_told_after_the_end(std::uint64_t fact) {
  for (const Batch& batch : kitchen().batches()) {
    const bool stored_by = std::any_of(batch.stored.begin(), batch.stored.end(),
                                       [&](const Stored& s) { return s.fact == fact; });
    const bool strained_by = batch.strained && batch.strained->fact == fact;
    if (batch.ended && (strained_by || stored_by)) told_after_the_end_.insert(batch.number);
  }
}

void Household::take(const Announced& announced) {
  said_.insert(announced.id);
}

void Household::follow_after_peak(const Batch& batch) {
  if (batch.lid != Lid::tight) lids_.erase(batch.number);
  if (!batch.stored.empty()) {
    ageings_.try_emplace(batch.number, batch, plan_, parameters_)
        .first->second.follow(batch, air_of());
  }
  if (batch.lid == Lid::tight) {
    lids_.try_emplace(batch.number, batch, plan_, parameters_)
        .first->second.follow(batch, air_of());
  }
}

void Household::follow(const Batch& batch) {
  if (!batch.ended) follow_after_peak(batch);
  auto found = ferments_.find(batch.number);
  if (found == ferments_.end()) {
    // What it taught stays as it was learned: its air is not known any more.
    if (batch.ended && batch.started < air_known_since_) return;
    found =
        ferments_.emplace(batch.number, Ferment(batch, plan_, belief_of(batch), parameters_)).first;
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
  restoring_ = false;
  for (const std::size_t running : running_) look_ahead(kitchen().batches()[running]);
}

void Household::find_running() {
  running_.clear();
  const std::vector<Batch>& all = kitchen().batches();
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!all[i].ended) running_.push_back(i);
  }
}

void Household::learn_from(const Batch& batch, const Ferment& ferment) {
  if (!taught_.insert(batch.number).second) return;
  const CultureId& culture = *batch.start.culture;
  const Instant out = batch.strained ? batch.strained->at : batch.ended->at;
  learning(culture).learn({batch.number, out, ferment.evidence()});
  if (!ferment.evidence().says_something()) return;
  for (const Batch& other : kitchen().batches()) {
    const auto running = ferments_.find(other.number);
    if (!other.fermenting() || other.start.culture != culture || running == ferments_.end()) {
      continue;
    }
    running->second.believe(belief_of(other));
    look_ahead(other);
  }
}

CultureLearning& Household::learning(const CultureId& culture) {
  return learning_.try_emplace(culture, parameters_).first->second;
}

PaceBelief Household::belief_of(const Batch& batch) {
  Instant out = Instant::max();
  if (batch.ended) out = batch.ended->at;
  if (batch.strained) out = batch.strained->at;
  return learning(*batch.start.culture).belief_of(batch.number, batch.started, out);
}

void Household::follow_all_that_changed_since(const std::vector<Batch>& before) {
  std::map<std::uint64_t, const Batch*> earlier;
  for (const Batch& batch : before) {
    earlier.emplace(batch.number, &batch);
    if (kitchen().numbered(batch.number) != nullptr) continue;
    ferments_.erase(batch.number);  // its start was taken back
    taught_.erase(batch.number);
    learning(*batch.start.culture).forget(batch.number);
  }
  for (const Batch& batch : kitchen().batches()) {
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
  for (const std::size_t running : running_) {
    const Batch& batch = kitchen().batches()[running];
    const auto ferment = ferments_.find(batch.number);
    if (ferment == ferments_.end() || !ferment->second.has_gone_beyond(instant)) continue;
    ferments_.erase(ferment);
    if (taught_.erase(batch.number) > 0) learning(*batch.start.culture).forget(batch.number);
  }
  std::erase_if(ageings_, [&](const auto& a) { return a.second.settled_at() > instant; });
  std::erase_if(lids_, [&](const auto& l) { return l.second.settled_at() > instant; });
  for (const std::size_t running : running_) follow(kitchen().batches()[running]);
}

void Household::forget_what_has_ended() {
  const auto has_ended = [this](const auto& entry) {
    const Batch* batch = kitchen().numbered(entry.first);
    return batch == nullptr || batch->ended;  // null: its start was taken back
  };
  std::erase_if(ferments_, has_ended);
  std::erase_if(ageings_, has_ended);
  std::erase_if(lids_, has_ended);
}

void Household::forget_past_air(PlaceState& place, Instant now) {
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
  place.air.forget_before(needed);
}

// --- looking ------------------------------------------------------------------------------------

AirOf Household::air_of() const {
  return [this](const PlaceId& place) -> const PlaceAir* {
    const auto found = places_.find(place);
    return found == places_.end() ? nullptr : &found->second.air;
  };
}

const Ferment* Household::ferment(const Batch& batch) const {
  const auto found = ferments_.find(batch.number);
  return found == ferments_.end() ? nullptr : &found->second;
}

std::optional<Condition> Household::condition(const Batch& batch, Instant now) const {
  const Ferment* computed = ferment(batch);
  if (computed == nullptr) return std::nullopt;
  return computed->at(batch, air_of(), now);
}

bool Household::something_rests_on(const PlaceId& place, Instant at) const {
  // A spell begins by what a glass felt, which is of the hours before.
  constexpr std::chrono::hours felt_of{24};
  const auto found = places_.find(place);
  if (found == places_.end()) return false;
  const auto& [thermometer, air] = found->second;
  const auto began_with_it = [&](const Spell& spell) {
    return spell.since() && at >= *spell.since() - felt_of && at <= *spell.since();
  };
  return (air.history().last() && air.history().last()->at == at) || thermometer.stuck_since() ||
         began_with_it(air.too_warm()) || began_with_it(air.too_cold());
}

const Ageing* Household::ageing(const Batch& batch) const {
  const auto found = ageings_.find(batch.number);
  return found == ageings_.end() ? nullptr : &found->second;
}

double Household::effective_age_h(const Batch& stored, Instant now) const {
  const Ageing* computed = ageing(stored);
  check(computed != nullptr, "effective age is asked of kefir that is stored");
  return computed->hours_at(stored, air_of(), now);
}

const LidWatch* Household::lid_watch(const Batch& batch) const {
  const auto found = lids_.find(batch.number);
  return found == lids_.end() ? nullptr : &found->second;
}

std::optional<double> Household::pressure_kpa(const Batch& batch, Instant now) const {
  const LidWatch* lid = lid_watch(batch);
  return lid == nullptr ? std::nullopt : lid->kpa(batch, air_of(), now);
}

const Spell& Household::too_warm(const PlaceId& place) const {
  check(places_.contains(place), "a spell is asked for by its planned place");
  return places_.at(place).air.too_warm();
}

const Spell& Household::too_cold(const PlaceId& place) const {
  check(places_.contains(place), "a spell is asked for by its planned place");
  return places_.at(place).air.too_cold();
}

PaceBelief Household::pace_of(const CultureId& culture) const {
  const auto learned = learning_.find(culture);
  if (learned == learning_.end()) return CulturePace(parameters_).of_the_culture();
  return learned->second.pace().of_the_culture();
}

PaceBelief Household::pace_of_a_batch(const CultureId& culture, Instant at) const {
  const auto learned = learning_.find(culture);
  if (learned == learning_.end()) return CulturePace(parameters_).of_a_batch(at);
  return learned->second.pace().of_a_batch(at);
}

const Thermometer& Household::thermometer(const PlaceId& place) const {
  check(places_.contains(place), "a thermometer is asked for by its planned place");
  return places_.at(place).thermometer;
}

double Household::doubt_k(const PlaceId& place) const {
  const PlaceAir* known = air_of()(place);
  return known == nullptr ? 0.0 : known->doubt_k();
}

const TemperatureHistory* Household::air(const PlaceId& place) const {
  const PlaceAir* known = air_of()(place);
  return known == nullptr ? nullptr : &known->history();
}

}  // namespace wheymark
