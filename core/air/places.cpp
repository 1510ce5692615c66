#include "core/air/places.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <tuple>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"
#include "core/record/local_time.hpp"

namespace wheymark {
namespace {

// How far back air is needed is asked of every batch, which is too dear at every reading.
constexpr std::chrono::hours forget_every{6};

// Doubt grows slowly, and each step of it costs a forecast.
constexpr double doubt_step_k = 0.5;
constexpr std::chrono::minutes doubt_weighed_every{5};

// What a room moves by in the minutes or the hour that a message of unknown age may be old.
constexpr double doubt_of_unknown_age_k = 1.0;

}  // namespace

Places::Places(const HouseholdSetup& setup) : setup_(&setup) {
  for (const PlaceSetup& place : setup.places) {
    states_.emplace(
        place.id,
        State{Thermometer(place.has_thermometer, place.silent_after), PlaceAir(place.kind), {}});
    doubts_.schedule(place.id, Instant::min());
  }
}

Places::State* Places::find(const PlaceId& place) {
  const auto found = states_.find(place);
  return found == states_.end() ? nullptr : &found->second;
}

const Places::State* Places::find(const PlaceId& place) const {
  const auto found = states_.find(place);
  return found == states_.end() ? nullptr : &found->second;
}

Result<Entry> Places::decide(const PlaceId& place, Celsius air, Instant at, Instant now,
                             double doubt_k) const {
  const State* state = find(place);
  check(state != nullptr, "readings come from places of the setup");
  if (at < limits::sane_since || at > now + limits::ahead_of_clock_max) {
    at = now;
    doubt_k = std::max(doubt_k, doubt_of_unknown_age_k);
  }
  const Thermometer& thermometer = state->thermometer;
  const Instant when = std::min(at, now);
  // A last reading in the future came from a clock that has been set back since: see apply().
  Instant last = thermometer.last_said().value_or(Instant::min());
  if (last > now + limits::ahead_of_clock_max) last = Instant::min();
  const auto known = state->air.history().last();
  if (when <= last && known && when < known->at) {
    return decide_late(place, *state, air, when, now, doubt_k);
  }
  if (when <= last) {
    return Refusal{fmt::format("{}: a reading of {} is not newer than the last, of {}", place,
                               day_and_clock_text(when, *setup_),
                               day_and_clock_text(last, *setup_))};
  }
  const bool believed = thermometer.believes(when, air);
  if (!believed && thermometer.doubted_since() && !Thermometer::plausible(air)) {
    return Refusal{fmt::format("{}: {} degC again, still not believed", place, air.degrees())};
  }
  if (when < last + limits::reading_spacing_min) {
    return Refusal{fmt::format("{}: closer than {} s to the last reading", place,
                               limits::reading_spacing_min.count())};
  }
  // Each jump is recorded, because the next reading may confirm it.
  if (!believed) return Entry{ReadingDoubted{place, when, air}};
  return Entry{ReadingTaken{place, when, air, doubt_k, false}};
}

// It is held against the readings around it. What a thermometer did then is over: only the air is
// mended.
Result<Entry> Places::decide_late(const PlaceId& place, const State& state, Celsius air, Instant at,
                                  Instant now, double doubt_k) const {
  const TemperatureHistory& history = state.air.history();
  const auto refused = [&](std::string_view why) {
    return Refusal{fmt::format("{}: a reading of {} is not newer than the last, of {}, and {}",
                               place, day_and_clock_text(at, *setup_),
                               day_and_clock_text(history.last()->at, *setup_), why)};
  };
  if (at < now - limits::late_reading_max) return refused("too old to be of use");
  if (history.has_near(at, limits::reading_spacing_min)) return refused("known already");
  if (!Thermometer::plausible(air)) return refused("not believed");
  return Entry{ReadingTaken{place, at, air, doubt_k, true}};
}

bool Places::has_just_spoken(const PlaceId& place, Instant now) const {
  const State* state = find(place);
  const auto last = state == nullptr ? std::nullopt : state->thermometer.last_said();
  return last && now >= *last && now < *last + limits::reading_spacing_min;
}

std::optional<Places::Applied> Places::apply(const ReadingTaken& taken) {
  State* state = find(taken.place);
  if (state == nullptr) return std::nullopt;
  const auto known = state->air.history().last();
  if (taken.is_late && known && taken.at < known->at) {
    state->air.read_late({taken.at, taken.air});
    return Applied{false, false, true};
  }
  // What may make an announcement about it due earlier than was known.
  const auto news = [state] {
    return std::make_tuple(state->thermometer.doubted_since(), state->thermometer.stuck_since(),
                           state->air.too_warm().since(), state->air.too_cold().since());
  };
  const auto before = news();
  const bool clock_went_back = state->air.would_go_back(taken.at);
  state->thermometer.read(taken.at, taken.air, taken.doubt_k);
  state->air.read({taken.at, taken.air}, *setup_);
  if (state->air.doubt_k() > 0.0 || taken.doubt_k > 0.0) {
    doubts_.schedule(taken.place, Instant::min());
  } else {
    doubts_.schedule_by(taken.place, state->thermometer.doubted_from().value_or(taken.at));
  }
  return Applied{news() != before, clock_went_back, false};
}

bool Places::apply(const ReadingDoubted& doubted) {
  State* state = find(doubted.place);
  if (state == nullptr) return false;
  state->thermometer.doubted(doubted.at, doubted.air);
  doubts_.schedule(doubted.place, Instant::min());
  return true;
}

bool Places::hear(const PlaceId& place, Instant now) {
  State* state = find(place);
  if (state != nullptr) state->thermometer.heard(now);
  return state != nullptr;
}

void Places::fold_late(const PlaceId& place) {
  if (State* state = find(place)) state->air.fold_late(*setup_);
}

bool Places::hear_nonsense(const PlaceId& place, const std::string& what, Instant now) {
  State* state = find(place);
  if (state == nullptr) return false;
  const bool is_new = !state->thermometer.nonsense();
  const ThermometerStatus before = state->thermometer.status(now);
  state->thermometer.heard_nonsense(now, what);
  return is_new || state->thermometer.status(now) != before;
}

bool Places::hear_away(const PlaceId& place, const std::string& said) {
  State* state = find(place);
  if (state == nullptr || state->thermometer.away() == said) return false;
  state->thermometer.is_away(said);
  return true;
}

bool Places::are_at_odds(const PlaceId& place, const std::string& which) {
  State* state = find(place);
  if (state == nullptr || state->thermometer.at_odds() == which) return false;
  state->thermometer.are_at_odds(which);
  return true;
}

void Places::clock_went_back(Instant now) {
  for (auto& [id, state] : states_) state.thermometer.clock_went_back(now);
}

std::vector<PlaceId> Places::weigh_doubts(Instant now) {
  std::vector<PlaceId> changed;
  for (const PlaceId& id : doubts_.due(now)) {
    State& state = states_.at(id);
    const double doubt_k = doubt_step_k * std::round(state.thermometer.doubt_k(now) / doubt_step_k);
    const Instant again = now + doubt_weighed_every;
    doubts_.schedule(id, std::max(again, state.thermometer.doubted_from().value_or(again)));
    if (doubt_k == state.air.doubt_k()) continue;
    state.air.doubt(doubt_k);
    changed.push_back(id);
  }
  return changed;
}

void Places::weigh_all_next_time() {
  for (const PlaceSetup& place : setup_->places) doubts_.schedule(place.id, Instant::min());
}

bool Places::is_time_to_forget(const PlaceId& place, Instant now) const {
  const State* state = find(place);
  return state != nullptr && (now < state->forgot_at || now >= state->forgot_at + forget_every);
}

void Places::forget_before(const PlaceId& place, Instant needed_since, Instant now) {
  State& state = states_.at(place);
  state.forgot_at = now;
  state.air.forget_before(needed_since, *setup_);
}

bool Places::something_rests_on(const PlaceId& place, Instant at) const {
  // An excursion begins by what a glass felt in the hours before.
  constexpr std::chrono::hours felt_of{24};
  const State* state = find(place);
  if (state == nullptr) return false;
  const PlaceAir& air = state->air;
  const auto began_with_it = [&](const Excursion& excursion) {
    return excursion.since() && at >= *excursion.since() - felt_of && at <= *excursion.since();
  };
  return (air.history().last() && air.history().last()->at == at) ||
         state->thermometer.stuck_since() || began_with_it(air.too_warm()) ||
         began_with_it(air.too_cold());
}

const Thermometer& Places::thermometer(const PlaceId& place) const {
  const State* state = find(place);
  check(state != nullptr, "a thermometer is asked for by its place in the setup");
  return state->thermometer;
}

const PlaceAir* Places::air(const PlaceId& place) const {
  const State* state = find(place);
  return state == nullptr ? nullptr : &state->air;
}

const TemperatureHistory* Places::history(const PlaceId& place) const {
  const PlaceAir* known = air(place);
  return known == nullptr ? nullptr : &known->history();
}

double Places::doubt_k(const PlaceId& place) const {
  const PlaceAir* known = air(place);
  return known == nullptr ? 0.0 : known->doubt_k();
}

AirOf Places::air_of() const {
  return [this](const PlaceId& place) { return air(place); };
}

}  // namespace wheymark
