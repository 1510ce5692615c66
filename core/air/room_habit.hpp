// What the air of a place will be, from what it has been at the same hours of other days.
//
// Learned from the place's own readings, hour by hour of the local day: how far each hour lies from
// the mean of its day (heating at night, sun on the counter), the level of the last days, and how
// far such forecasts were off. The air ahead is the last reading relaxing to that within a day.
// Before a whole day is known, it is the last reading going on, with a wide spread.
//
// It stops being true when the household's habits change; it then learns anew within a week.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "core/air/temperature_history.hpp"
#include "core/basis/units.hpp"

namespace wheymark {

// The air that lies ahead of `from`.
struct AirAhead {
  Instant from;
  Celsius last;
  Celsius level;
  std::array<double, 24> above_level_k{};  // in the middle of each local hour
  std::chrono::minutes utc_offset{0};
  double sd_k;  // of the air against this, far ahead; it grows to that from 0 as the air relaxes
  double doubt_k = 0.0;  // of the air and the milk in it at `from`: the thermometer is in doubt

  // The last reading going on, for a place of which nothing else is known.
  static AirAhead steady(const Reading& last, double sd_k);

  // The expected air, not before `from`.
  [[nodiscard]] Celsius at(Instant instant) const;
};

// The same at instants in order, an hour apart, at a fraction of the cost. The AirAhead must
// outlive it.
class AirHourByHour {
 public:
  AirHourByHour(const AirAhead& air, Instant first);
  [[nodiscard]] double next_c();

 private:
  // An instant of the local day, between the middles of two of its hours.
  struct BetweenHours {
    std::size_t hour;
    double share;  // of the hour after it
    static BetweenHours of(Instant local);
    [[nodiscard]] double in(const std::array<double, 24>& hours) const {
      return (1.0 - share) * hours[hour] + share * hours[(hour + 1) % 24];
    }
  };

  const AirAhead& air_;
  BetweenHours now_;
  double deviation_k_;  // from the habit, now
};

// Hours in which a deviation from the habit falls to a third.
inline constexpr double air_relaxes_h = 24.0;

class RoomHabit {
 public:
  // `utc_offset` is that of the reading's instant; readings come in order.
  void read(const Reading& reading, std::chrono::minutes utc_offset);

  // After the last reading.
  [[nodiscard]] AirAhead ahead(const Reading& last, std::chrono::minutes utc_offset) const;

 private:
  struct Hour {
    std::int64_t number = -1;  // local hours since 1970
    double sum_c = 0.0;
    int readings = 0;
  };
  void finish(const Hour& hour);
  [[nodiscard]] std::optional<double> day_mean_c(std::int64_t hour_number) const;
  [[nodiscard]] double above_level_k(std::size_t hour_of_day) const;

  Hour hour_;
  struct HourOfDay {
    std::int64_t number = -1;  // when mean_c was measured
    double mean_c = 0.0;
    double above_k = 0.0;
    double days = 0.0;
    std::int64_t forecast_for = -1;  // the hour for which this was foretold half a day before
    double forecast_c = 0.0;
  };
  std::array<HourOfDay, 24> hours_;
  std::optional<double> level_c_;
  double squares_k2_ = 0.0;  // of forecasts' errors, and how many independent ones they count as
  double errors_ = 0.0;
};

}  // namespace wheymark
