#include "core/household/household.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "core/household/completion.hpp"
#include "core/household/doubtful_report.hpp"
#include "core/household/happenings.hpp"
#include "core/household/local_time.hpp"
#include "core/household/sentences.hpp"

namespace wheymark {

Household::Household(Plan plan, const Parameters& parameters)
    : plan_(std::move(plan)), parameters_(parameters) {
  for (const PlannedPlace& place : plan_.places) {
    const bool fridge = place.kind == PlaceKind::fridge;
    places_.emplace(place.id, PlaceState{Thermometer(place.has_thermometer, place.silent_after),
                                         {},
                                         Spell(fridge ? warm_fridge : hot_room),
                                         Spell(cold_room)});
  }
  for (const PlannedCulture& culture : plan_.cultures)
    learning_.try_emplace(culture.id, parameters_);
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
  if (const Outcome in = within_its_batch(said.fact, at.value(), kitchen(), plan_); !in) {
    return in.refusal();
  }
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
  const auto last = thermometer.last_said();
  if (last && when <= *last) {
    return Refusal{fmt::format("{}: a reading of {} is not newer than the last, of {}", place,
                               day_and_clock_text(when, plan_), day_and_clock_text(*last, plan_))};
  }
  if (!Thermometer::plausible(air)) {
    if (thermometer.doubted_since()) {
      return Refusal{fmt::format("{}: {} degC again, still not believed", place, air.degrees())};
    }
    return Entry{ReadingDoubted{place, when, air}};
  }
  if (last && when < *last + limits::reading_spacing_min && !thermometer.doubted_since()) {
    return Refusal{fmt::format("{}: closer than {} s to the last reading", place,
                               limits::reading_spacing_min.count())};
  }
  return Entry{ReadingTaken{place, when, air}};
}

// --- saying -------------------------------------------------------------------------------------

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

std::vector<Household::Saying> Household::unsaid(Instant overtaken_at) const {
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
  for (const Batch& batch : kitchen().batches()) {
    if (batch.ended) continue;  // whatever there was to say of it was said before it ended
    add(moments_of(batch, ferment(batch), plan_.notice), &batch);
    add(moments_after_peak(batch, *this), &batch);
    // But for one that was strained onto this one: that was its end.
    if (batch.mixed.empty()) continue;
    const Batch* younger = kitchen().numbered(batch.mixed.back().batch);
    add(moments_of(*younger, nullptr, plan_.notice), younger);
  }
  for (const auto& [id, learned] : learning_) {
    const std::vector<Moment> moments = moments_of(id, learned.health());
    for (std::size_t i = 0; i < moments.size(); ++i) {
      if (said(moments[i].id)) continue;
      sayings.push_back({moments[i], Changed{id, learned.health().changes()[i]}});
    }
  }
  for (const PlannedCulture& culture : plan_.cultures) add(moments_of(culture, *this), &culture);
  for (const PlannedJar& jar : plan_.jars) add(moments_of(jar, *this), &jar);
  for (const PlannedPlace& place : plan_.places) {
    add(moments_of(place, *this), &place);
    add(moments_of(place.id, thermometer(place.id), listening_since_, said), &place);
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
  place.thermometer.read(taken.at);
  place.air.history.add({taken.at, taken.air});
  place.air.habit.read({taken.at, taken.air}, plan_.utc_offset(taken.at));
  place.too_warm.read(taken.at, taken.air);
  place.too_cold.read(taken.at, taken.air);
  for (const Batch& batch : kitchen().batches()) {
    const bool stood_there = std::any_of(batch.stays.begin(), batch.stays.end(),
                                         [&](const Stay& s) { return s.place == taken.place; });
    if (!batch.ended && stood_there) follow(batch);
  }
  forget_past_air(place, taken.at);
}

void Household::take(const ReadingDoubted& doubted) {
  const auto found = places_.find(doubted.place);
  if (found != places_.end()) found->second.thermometer.doubted(doubted.at);
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
  forget_what_has_ended();
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
  if (batch.fermenting()) return;
  if (batch.ended || found->second.reports_are_settled(batch)) learn_from(batch, found->second);
  if (batch.ended) ferments_.erase(batch.number);
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
    running->second.believe(belief_of(other), other, air_of());
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
  place.air.history.forget_before(needed);
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
  return places_.at(place).too_warm;
}

const Spell& Household::too_cold(const PlaceId& place) const {
  check(places_.contains(place), "a spell is asked for by its planned place");
  return places_.at(place).too_cold;
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

std::size_t Household::batches_learned_from(const CultureId& culture) const {
  const auto learned = learning_.find(culture);
  return learned == learning_.end() ? 0 : learned->second.pace().batches();
}

const Thermometer& Household::thermometer(const PlaceId& place) const {
  check(places_.contains(place), "a thermometer is asked for by its planned place");
  return places_.at(place).thermometer;
}

const TemperatureHistory* Household::air(const PlaceId& place) const {
  const PlaceAir* known = air_of()(place);
  return known == nullptr ? nullptr : &known->history;
}

}  // namespace wheymark
