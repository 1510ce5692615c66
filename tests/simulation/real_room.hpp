// The air of real rooms, as measured by others (tests/reference), played at another time of the
// year and some degrees warmer or colder.
#pragma once

#include <string>
#include <vector>

#include "core/basis/units.hpp"

namespace wheymark::simulation {

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

// The air round one household's jars from `starts` (a local midnight) on.
struct Room {
  const RecordedRoom* record;
  Instant starts;
  double record_from_h;  // whole days
  double warmer_k;

  double operator()(Instant instant) const { return celsius_at(instant); }
  [[nodiscard]] double celsius_at(Instant instant) const {
    return record->celsius_at(record_from_h + hours_between(starts, instant)) + warmer_k;
  }
};

}  // namespace wheymark::simulation
