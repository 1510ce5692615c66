// The air of real rooms, as measured by others (tests/reference), played at another time of the
// year and some degrees warmer or colder.
#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "core/basis/units.hpp"

namespace wheymark::simulation {

inline constexpr Instant first_midnight{std::chrono::sys_days{std::chrono::year{2027} / 1 / 4}};
inline constexpr double fridge_c = 4.5;
inline constexpr double pantry_colder_k = 3.0;
inline constexpr double asked_at_share = 0.4;  // of the way to the peak: when forecasts are judged
inline constexpr double asks_at_h = 21.0;      // whoever asks for plans in the evening

// One recorded temperature; gaps longer than a few hours are cut out in whole days, so that the
// hour of the day stays right.
class RecordedRoom {
 public:
  // Reads `local_time,temperature_c` rows; throws std::runtime_error when the file is not there.
  static RecordedRoom from_csv(const std::string& file);

  // Hours since a midnight of the record; goes round at its end.
  [[nodiscard]] double celsius_at(double hours) const;
  [[nodiscard]] double length_h() const { return 24.0 * static_cast<double>(days_); }

 private:
  std::vector<double> by_minutes_;  // every five minutes
  std::size_t days_ = 0;
};

struct Rooms {
  std::vector<RecordedRoom> recorded;

  // All that tests/reference holds.
  static Rooms of_the_reference();
};

// The air round one household's jars from `starts` (a local midnight) on. After `usual_weeks`, a
// cold week and a warm one take turns.
struct Room {
  static constexpr double usual_weeks = 3.0;

  const RecordedRoom* record;
  Instant starts;
  double record_from_h;  // whole days
  double warmer_k;
  double swing_k = 0.0;

  double operator()(Instant instant) const { return celsius_at(instant); }
  [[nodiscard]] double celsius_at(Instant instant) const {
    const double hours = hours_between(starts, instant);
    const double week = std::floor(hours / (7.0 * 24.0));
    double kelvins = warmer_k;
    if (week >= usual_weeks)
      kelvins += std::fmod(week - usual_weeks, 2.0) < 1.0 ? -swing_k : swing_k;
    return record->celsius_at(record_from_h + hours) + kelvins;
  }
};

}  // namespace wheymark::simulation
