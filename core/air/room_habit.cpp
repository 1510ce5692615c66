#include "core/air/room_habit.hpp"

#include <algorithm>
#include <cmath>

namespace wheymark {
namespace {

// Our choices, from two real rooms (tests/reference): forecasts half a day ahead were off by 1.0 K
// (standard deviation) with them, by 1.3 to 1.6 K when the last reading simply went on.
constexpr double level_follows_h = 96.0;
constexpr double profile_days = 7.0;    // remembered
constexpr double shrunk_by_days = 2.0;  // a profile of two days counts half
constexpr int hours_of_a_day_min = 20;
constexpr double sd_k_unknown = 1.8;
constexpr double sd_k_usual = 1.1;
constexpr double usual_counts_as = 3.0;  // independent errors; so many half days
constexpr double errors_remembered = 20.0;
constexpr int foretold_h = 12;
// The errors of twelve forecasts a half day overlap and count as one.
constexpr double share_of_an_error = 1.0 / foretold_h;

std::int64_t local_hour(Instant instant, std::chrono::minutes utc_offset) {
  return std::chrono::floor<std::chrono::hours>(instant + utc_offset).time_since_epoch().count();
}

std::size_t of_day(std::int64_t hour_number) {
  return static_cast<std::size_t>(hour_number % 24);
}

}  // namespace

AirAhead AirAhead::steady(const Reading& last, double sd_k) {
  return {last.at, last.air, last.air, {}, std::chrono::minutes{0}, sd_k};
}

Celsius AirAhead::at(Instant instant) const {
  return Celsius(AirHourByHour(*this, instant).next_c());
}

AirHourByHour::BetweenHours AirHourByHour::BetweenHours::of(Instant local) {
  // In hours from the middle of the first hour of the local day.
  const double place = hours_between(std::chrono::floor<std::chrono::days>(local), local) + 23.5;
  const auto left = static_cast<std::size_t>(place);
  return {left % 24, place - static_cast<double>(left)};
}

AirHourByHour::AirHourByHour(const AirAhead& air, Instant first)
    : air_(air), now_(BetweenHours::of(first + air.utc_offset)) {
  const double usual_k = BetweenHours::of(air.from + air.utc_offset).in(air.above_level_k);
  deviation_k_ = ((air.last - air.level).kelvin() - usual_k) *
                 std::exp(-hours_between(air.from, first) / air_relaxes_h);
}

double AirHourByHour::next_c() {
  static const double kept_in_an_hour = std::exp(-1.0 / air_relaxes_h);
  const double air_c = air_.level.degrees() + now_.in(air_.above_level_k) + deviation_k_;
  now_.hour = (now_.hour + 1) % 24;
  deviation_k_ *= kept_in_an_hour;
  return air_c;
}

void RoomHabit::read(const Reading& reading, std::chrono::minutes utc_offset) {
  const std::int64_t number = local_hour(reading.at, utc_offset);
  if (number != hour_.number) {
    if (hour_.readings > 0) finish(hour_);
    hour_ = Hour{number, 0.0, 0};
  }
  hour_.sum_c += reading.air.degrees();
  ++hour_.readings;
}

std::optional<double> RoomHabit::day_mean_c(std::int64_t hour_number) const {
  double sum = 0.0;
  int known = 0;
  for (const HourOfDay& hour : hours_) {
    if (hour.number <= hour_number - 24 || hour.number > hour_number) continue;
    sum += hour.mean_c;
    ++known;
  }
  return known < hours_of_a_day_min ? std::nullopt : std::optional(sum / known);
}

double RoomHabit::above_level_k(std::size_t hour_of_day) const {
  const HourOfDay& hour = hours_[hour_of_day];
  return hour.above_k * hour.days / (hour.days + shrunk_by_days);
}

void RoomHabit::finish(const Hour& hour) {
  HourOfDay& of_the_day = hours_[of_day(hour.number)];
  const double mean_c = hour.sum_c / hour.readings;
  if (of_the_day.forecast_for == hour.number) {
    const double error_k = mean_c - of_the_day.forecast_c;
    if (errors_ > errors_remembered) {
      squares_k2_ *= errors_remembered / errors_;
      errors_ = errors_remembered;
    }
    squares_k2_ += share_of_an_error * error_k * error_k;
    errors_ += share_of_an_error;
  }
  of_the_day.number = hour.number;
  of_the_day.mean_c = mean_c;
  const auto day_c = day_mean_c(hour.number);
  if (!day_c) return;
  level_c_ = level_c_ ? *level_c_ + (*day_c - *level_c_) / level_follows_h : *day_c;
  of_the_day.days = std::min(of_the_day.days + 1.0, profile_days);
  of_the_day.above_k += (mean_c - *day_c - of_the_day.above_k) / of_the_day.days;

  const std::int64_t ahead = hour.number + foretold_h;
  HourOfDay& then = hours_[of_day(ahead)];
  const double deviation_k = mean_c - *level_c_ - above_level_k(of_day(hour.number));
  then.forecast_for = ahead;
  then.forecast_c = *level_c_ + above_level_k(of_day(ahead)) +
                    deviation_k * std::exp(-foretold_h / air_relaxes_h);
}

AirAhead RoomHabit::ahead(const Reading& last, std::chrono::minutes utc_offset) const {
  if (!level_c_) return AirAhead::steady(last, sd_k_unknown);
  AirAhead ahead = AirAhead::steady(last, 0.0);
  ahead.level = Celsius(*level_c_);
  ahead.utc_offset = utc_offset;
  for (std::size_t hour = 0; hour < 24; ++hour) ahead.above_level_k[hour] = above_level_k(hour);
  // The share of a far-ahead error that has come about half a day ahead.
  const double grown = -std::expm1(-2.0 * foretold_h / air_relaxes_h);
  ahead.sd_k = std::sqrt((usual_counts_as * sd_k_usual * sd_k_usual + squares_k2_ / grown) /
                         (usual_counts_as + errors_));
  return ahead;
}

}  // namespace wheymark
