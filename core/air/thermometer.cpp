#include "core/air/thermometer.hpp"

#include <algorithm>
#include <cmath>

#include "core/air/swapped_unit.hpp"
#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

// A window in winter or a door left open moves the air by some kelvin in minutes; no place moves by
// more than this. All of these are our estimates.
constexpr double jump_k_min = 8.0;
constexpr double jump_k_per_h = 16.0;
constexpr double jump_confirmed_within_k = 4.0;
constexpr std::size_t jumpy_from = 3;  // lone jumps within jumps_remembered
constexpr std::chrono::hours jumps_remembered{6};
constexpr std::chrono::hours calm_again_after{1};

// Sensors differ: in a still night one that shows whole degrees repeats itself for ten hours, one
// that shows hundredths hardly for a minute. So each is held against what it did before.
constexpr int changes_until_known = 12;
constexpr std::chrono::hours stuck_after_min{6};
constexpr std::chrono::hours stuck_after_min_coarse{24};
constexpr double coarse_k = 0.45;
constexpr int times_longer_than_ever = 3;

// Air that nobody measures wanders from where it was; rooms by some kelvin in a day.
constexpr double doubt_k_per_h = 0.5;
constexpr double doubt_k_max = 3.0;

}  // namespace

bool Thermometer::plausible(Celsius air) {
  return air.degrees() >= limits::plausible_c_min && air.degrees() <= limits::plausible_c_max;
}

bool Thermometer::jumps(Instant at, Celsius air) const {
  if (!last_read_) return false;
  const double apart_h = std::max(0.0, hours_between(*last_read_, at));
  return std::abs((air - last_air_).kelvin()) > jump_k_min + jump_k_per_h * apart_h;
}

bool Thermometer::confirms_jump(Celsius air) const {
  return jump_ && std::abs((air - jump_->air).kelvin()) <= jump_confirmed_within_k;
}

bool Thermometer::believes(Instant at, Celsius air) const {
  if (!plausible(air)) return false;
  if (!jumps(at, air)) return true;
  return confirms_jump(air) && !swapped_unit(air, last_air_);
}

void Thermometer::begin_word(Instant at) {
  clock_went_back_at_.reset();
  if (!last_said_ || at >= *last_said_) return;
  lone_jumps_.clear();
  jumpy_until_.reset();
  jump_.reset();
}

void Thermometer::read(Instant at, Celsius air, double doubt_k) {
  begin_word(at);
  rhythm_.spoke(at);
  reading_doubt_k_ = doubt_k;
  nonsense_.reset();
  away_.clear();
  // A jump that stays is a step, not a lone jump.
  if (jumps(at, air) && !lone_jumps_.empty()) lone_jumps_.pop_back();
  jump_.reset();
  if (jumpy_until_ && at >= *jumpy_until_) jumpy_until_.reset();
  const bool stays_in_doubt = doubted_since_ && jumpy_until_;
  const auto was_stuck = stuck_since_;
  watch_for_sticking(at, air);
  last_return_ = Return{at, last_read_, stays_in_doubt ? std::nullopt : doubted_since_,
                        stuck_since_ ? std::nullopt : was_stuck};
  if (!stays_in_doubt) doubted_since_.reset();
  last_read_ = last_said_ = at;
  last_air_ = air;
}

void Thermometer::watch_for_sticking(Instant at, Celsius air) {
  if (!last_read_) return;
  if (air != last_air_) {
    ++changes_;
    step_k_smallest_ = std::min(step_k_smallest_, std::abs((air - last_air_).kelvin()));
    // While it was stuck, only so much of that time counts as usual.
    same_for_longest_ = std::max(same_for_longest_, std::min(same_for_, stuck_after()));
    same_for_ = Milliseconds{0};
    stuck_since_.reset();
    return;
  }
  // While it was silent it may have moved and come back; a clock may have been set back.
  const Milliseconds gap = at - *last_read_;
  if (gap > Milliseconds{0} && gap <= silent_after()) same_for_ += gap;
  if (!stuck_since_ && changes_ >= changes_until_known && same_for_ >= stuck_after()) {
    stuck_since_ = at;
  }
}

Milliseconds Thermometer::stuck_after() const {
  const Milliseconds least = step_k_smallest_ < coarse_k ? stuck_after_min : stuck_after_min_coarse;
  return std::max(least, times_longer_than_ever * same_for_longest_);
}

void Thermometer::doubted(Instant at, Celsius air) {
  begin_word(at);
  rhythm_.spoke(at);
  nonsense_.reset();
  last_said_ = at;
  const auto known = last_read_ ? std::optional(last_air_) : std::nullopt;
  const bool is_lone_jump = plausible(air) && !swapped_unit(air, known);
  if (is_lone_jump) jump_ = Jump{at, air};
  // A value that cannot be true and goes away at once counts as a jump as well.
  if (is_lone_jump || !doubted_since_) {
    std::erase_if(lone_jumps_, [&](Instant jump) { return jump < at - jumps_remembered; });
    lone_jumps_.push_back(at);
    if (lone_jumps_.size() >= jumpy_from) jumpy_until_ = at + calm_again_after;
    if (is_lone_jump && !jumpy_until_) return;
  }
  doubted_air_ = air;
  if (!doubted_since_) doubted_since_ = at;
}

void Thermometer::heard(Instant now) {
  last_heard_ = now;
}

void Thermometer::heard_nonsense(Instant now, const std::string& what) {
  if (!nonsense_) nonsense_ = Nonsense{now, now, what};
  nonsense_->last = now;
}

void Thermometer::clock_went_back(Instant now) {
  if (last_heard_ > now) last_heard_ = now;
  if (last_said_ > now) clock_went_back_at_ = now;
  if (nonsense_ && nonsense_->last > now) nonsense_->since = nonsense_->last = now;
}

std::optional<Instant> Thermometer::alive_at() const {
  if (clock_went_back_at_) return clock_went_back_at_;
  return std::max(last_read_, last_heard_);
}

std::optional<Instant> Thermometer::last_said() const {
  return last_said_;
}

std::optional<Instant> Thermometer::silent_from(Instant listening_since) const {
  if (!exists_) return std::nullopt;
  const Instant known = alive_at().value_or(listening_since);
  return std::max(known, listening_since) + silent_after();
}

std::optional<Instant> Thermometer::doubted_from() const {
  return last_read_ ? std::optional(*last_read_ + silent_after()) : std::nullopt;
}

std::optional<Instant> Thermometer::good_until() const {
  if (!exists_ || doubted_since_ || !last_read_) return std::nullopt;
  return *alive_at() + silent_after();
}

std::optional<Instant> Thermometer::changes_at(Instant now) const {
  std::optional<Instant> change = good_until();
  if (change && *change <= now) change.reset();
  if (!change && nonsense_) change = nonsense_->last + silent_after();
  return change && *change > now ? change : std::nullopt;
}

ThermometerStatus Thermometer::status(Instant now) const {
  if (!exists_) return ThermometerStatus::none;
  const auto good = good_until();
  if (good && now < *good) return stuck_since_ ? ThermometerStatus::stuck : ThermometerStatus::good;
  // What was last heard of it counts: nonsense after a doubt is nonsense.
  if (nonsense_ && now < nonsense_->last + silent_after()) return ThermometerStatus::not_understood;
  return doubted_since_ ? ThermometerStatus::implausible : ThermometerStatus::silent;
}

double Thermometer::doubt_k(Instant now) const {
  if (!last_read_) return doubt_k_max;
  // By its readings alone: that it was heard is not recorded, and forecasts must be the same after
  // a restart.
  if (!doubted_since_ && !stuck_since_ && now < *last_read_ + silent_after()) {
    return std::min(doubt_k_max, reading_doubt_k_);
  }
  const double unknown_h =
      std::max(0.0, hours_between(*last_read_, now)) + hours_between(Instant{}, Instant{same_for_});
  return std::min(doubt_k_max, std::max(reading_doubt_k_, doubt_k_per_h * unknown_h));
}

}  // namespace wheymark
