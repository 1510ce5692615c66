#include "core/household/household.hpp"

#include <algorithm>
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
    places_.emplace(place.id,
                    PlaceState{Thermometer(place.has_thermometer, place.silent_after), {}});
  }
}

// --- deciding -----------------------------------------------------------------------------------

Result<Household::Accepted> Household::decide(const Said& said, Instant now) const {
  if (said.ref) {
    if (const FactRecord* before = ledger_.with_ref(*said.ref)) {
      if (ledger_.stands(before->number)) return Accepted{*before, true};
      return Refusal{
          fmt::format("what was said with the ref \"{}\" was taken back; say it again with another",
                      *said.ref)};
    }
  }
  const auto at = happened_at(said.at, now, plan_);
  if (!at) return at.refusal();
  const auto fact = completed(said.fact, plan_, ledger_.kitchen_at(at.value()), parameters_);
  if (!fact) return fact.refusal();
  FactRecord record{ledger_.next_number(), at.value(), now, said.ref, fact.value()};
  if (const Outcome allowed = ledger_.allows(record, plan_); !allowed) return allowed.refusal();
  return Accepted{std::move(record), false};
}

Result<Entry> Household::decide(const PlaceId& place, Celsius air, Instant at, Instant now) const {
  check(places_.contains(place), "readings come from planned places");
  if (at < limits::sane_since || at > now + limits::ahead_of_clock_max) {
    return Refusal{fmt::format("{}: a reading of {}, while it is {}, is of no use", place,
                               day_and_clock_text(at, plan_), day_and_clock_text(now, plan_))};
  }
  const Thermometer& thermometer = places_.at(place).thermometer;
  const Instant when = std::min(at, now);
  auto last = thermometer.last_said();
  // What is still to come was read by a clock that has been set back since: see take().
  if (last && *last > now + limits::ahead_of_clock_max) last.reset();
  if (last && when <= *last) {
    return Refusal{fmt::format("{}: a reading of {} is not newer than the last, of {}", place,
                               day_and_clock_text(when, plan_), day_and_clock_text(*last, plan_))};
  }
  const bool believed = thermometer.believes(when, air);
  if (!believed && thermometer.doubted_since() && !Thermometer::plausible(air)) {
    return Refusal{fmt::format("{}: {} degC again, still not believed", place, air.degrees())};
  }
  if (last && when < *last + limits::reading_spacing_min) {
    return Refusal{fmt::format("{}: closer than {} s to the last reading", place,
                               limits::reading_spacing_min.count())};
  }
  // Of jumps each is kept, because the next reading may confirm it.
  if (!believed) return Entry{ReadingDoubted{place, when, air}};
  return Entry{ReadingTaken{place, when, air}};
}

// --- saying -------------------------------------------------------------------------------------

namespace {

// What makes a warning pointless once it has come; nothing for what is no warning.
std::optional<Happening> warned_of(Happening kind) {
  if (kind == Happening::peak_near) return Happening::peak_open;
  if (kind == Happening::peak_closing) return Happening::over_fermented;
  return std::nullopt;
}

// Whether a row of moments has one of this kind that makes `condition` true.
template <class Condition>
bool any_of_kind(const std::vector<Moment>& moments, Happening kind, Condition condition) {
  return std::any_of(moments.begin(), moments.end(),
                     [&](const Moment& m) { return m.kind == kind && condition(m); });
}

}  // namespace

std::vector<Household::Saying> Household::unsaid(Instant overtaken_at) const {
  std::vector<Saying> sayings;
  const auto said = [this](const std::string& id) { return said_.contains(id); };
  for (const Batch& batch : kitchen().batches()) {
    if (batch.ended) continue;  // whatever there was to say of it was said before it ended
    const std::vector<Moment> moments = moments_of(batch, ferment(batch), plan_.notice);
    for (const Moment& moment : moments) {
      const auto coming = warned_of(moment.kind);
      const bool overtaken = coming && any_of_kind(moments, *coming, [&](const Moment& m) {
                               return m.time <= overtaken_at || said(m.id);
                             });
      if (!overtaken && !said(moment.id)) sayings.push_back({moment, &batch, {}});
    }
  }
  for (const auto& [id, place] : places_) {
    for (const Moment& moment : moments_of(id, place.thermometer, listening_since_, said)) {
      if (!said(moment.id)) sayings.push_back({moment, nullptr, id});
    }
  }
  return sayings;
}

std::vector<Announcement> Household::due(Instant now) const {
  std::vector<Saying> sayings = unsaid(now);
  std::erase_if(sayings, [&](const Saying& saying) { return saying.moment.time > now; });
  std::stable_sort(sayings.begin(), sayings.end(),
                   [](const Saying& a, const Saying& b) { return a.moment.time < b.moment.time; });
  std::vector<Announcement> announcements;
  for (const Saying& saying : sayings) {
    announcements.push_back(saying.batch != nullptr ? told(saying.moment, *saying.batch, *this, now)
                                                    : told(saying.moment, saying.place, *this));
  }
  return announcements;
}

std::optional<Instant> Household::next_due() const {
  std::optional<Instant> next;
  for (const Saying& saying : unsaid(Instant::min())) {
    if (!next || saying.moment.time < *next) next = saying.moment.time;
  }
  return next;
}

// --- applying -----------------------------------------------------------------------------------

void Household::hear(const PlaceId& place, Instant now) {
  const auto found = places_.find(place);
  if (found != places_.end()) found->second.thermometer.heard(now);
}

void Household::apply(const Entry& entry) {
  std::visit([this](const auto& what) { take(what); }, entry);
}

void Household::take(const ReadingTaken& taken) {
  const auto found = places_.find(taken.place);
  if (found == places_.end()) return;  // a place that has left the plan since
  PlaceState& place = found->second;
  place.thermometer.read(taken.at, taken.air);
  // Later readings that were kept before this one are of a clock that was wrong then.
  const bool clock_went_back = place.air.last() && place.air.last()->at >= taken.at;
  if (clock_went_back) {
    place.air.forget_from(taken.at);
    std::erase_if(ferments_, [&](const auto& f) { return f.second.has_gone_beyond(taken.at); });
    for (const Batch& batch : kitchen().batches()) follow(batch);
  }
  place.air.add({taken.at, taken.air});
  for (const Batch& batch : kitchen().batches()) {
    const bool stood_there = std::any_of(batch.stays.begin(), batch.stays.end(),
                                         [&](const Stay& s) { return s.place == taken.place; });
    if (!batch.ended && stood_there) follow(batch);
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
    follow_all_that_changed_since(before);
    return;
  }
  ledger_.take(record);
  const std::uint64_t touched = ledger_.kitchen().last_touched();
  if (const Batch* batch = kitchen().numbered(touched)) {
    // The latest of all facts, but told after readings that were followed without it.
    const Ferment* known = ferment(*batch);
    if (known != nullptr && known->has_gone_beyond(record.at)) ferments_.erase(batch->number);
    follow(*batch);
  }
  forget_ended_ferments();
}

void Household::take(const Announced& announced) {
  said_.insert(announced.id);
}

void Household::follow(const Batch& batch) {
  if (batch.ended) return;
  auto found = ferments_.find(batch.number);
  if (found == ferments_.end()) {
    found = ferments_
                .emplace(batch.number,
                         Ferment(batch, plan_, pace_of(*batch.start.culture), parameters_))
                .first;
  }
  found->second.follow(batch, air_of());
}

void Household::follow_all_that_changed_since(const std::vector<Batch>& before) {
  std::map<std::uint64_t, const Batch*> earlier;
  for (const Batch& batch : before) earlier.emplace(batch.number, &batch);
  for (const Batch& batch : kitchen().batches()) {
    const auto old = earlier.find(batch.number);
    if (old == earlier.end() || *old->second != batch) {
      ferments_.erase(batch.number);
      follow(batch);
    }
  }
  forget_ended_ferments();
}

void Household::forget_ended_ferments() {
  std::erase_if(ferments_, [&](const auto& entry) {
    const Batch* batch = kitchen().numbered(entry.first);
    return batch == nullptr || batch->ended;  // null: its start was taken back
  });
}

void Household::forget_past_air(PlaceState& place, Instant now) {
  // A late fact can reach back so far; a batch that waits for another place's reading as well.
  Instant needed = now - limits::fact_age_max;
  for (const auto& [number, ferment] : ferments_) {
    needed = std::min(needed, ferment.needs_air_since());
  }
  place.air.forget_before(needed);
}

// --- looking ------------------------------------------------------------------------------------

AirOf Household::air_of() const {
  return [this](const PlaceId& place) -> const TemperatureHistory* {
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

PaceBelief Household::pace_of(const CultureId&) const {
  return PaceBelief::prior(parameters_.pace_prior_median, parameters_.pace_prior_log_sd);
}

const Thermometer& Household::thermometer(const PlaceId& place) const {
  check(places_.contains(place), "a thermometer is asked for by its planned place");
  return places_.at(place).thermometer;
}

const TemperatureHistory* Household::air(const PlaceId& place) const {
  return air_of()(place);
}

}  // namespace wheymark
