// What can be asked of a household; kept apart from what changes it (household.cpp).
#include "core/basis/check.hpp"
#include "core/household/household.hpp"
#include "core/pace/rested_pace.hpp"

namespace wheymark {

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
  const Thermometer& thermometer = found->second.thermometer;
  const PlaceAir& air = found->second.air;
  const auto began_with_it = [&](const Excursion& excursion) {
    return excursion.since() && at >= *excursion.since() - felt_of && at <= *excursion.since();
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

const Excursion& Household::too_warm(const PlaceId& place) const {
  check(places_.contains(place), "a spell is asked for by its planned place");
  return places_.at(place).air.too_warm();
}

const Excursion& Household::too_cold(const PlaceId& place) const {
  check(places_.contains(place), "a spell is asked for by its planned place");
  return places_.at(place).air.too_cold();
}

double Household::wanted_grain_g(const CultureId& culture) const {
  check(wanted_grains_g_.contains(culture), "grains are wanted of a planned culture");
  return wanted_grains_g_.at(culture);
}

PaceBelief Household::pace_of(const CultureId& culture) const {
  const auto learned = learning_.find(culture);
  if (learned == learning_.end()) return unknown_.of_the_culture();
  return learned->second.pace().of_the_culture();
}

PaceBelief Household::pace_of_next_batch(const CultureId& culture, Instant at) const {
  const auto learned = learning_.find(culture);
  const PaceBelief awake =
      learned == learning_.end() ? unknown_.of_a_batch(at) : learned->second.pace().of_a_batch(at);
  const auto after_rest = book().grains(culture).next_after_rest();
  return after_rest ? believed_after_rest(awake, rested_pace(*after_rest)) : awake;
}

std::size_t Household::batches_learned_from(const CultureId& culture) const {
  const auto learned = learning_.find(culture);
  return learned == learning_.end() ? 0 : learned->second.pace().batches();
}

const Thermometer& Household::thermometer(const PlaceId& place) const {
  check(places_.contains(place), "a thermometer is asked for by its planned place");
  return places_.at(place).thermometer;
}

const std::set<std::uint64_t>& Household::have_stood_at(const PlaceId& place) const {
  static const std::set<std::uint64_t> none;
  const auto found = stood_at_.find(place);
  return found == stood_at_.end() ? none : found->second;
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
