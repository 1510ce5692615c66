// What the air of one place has been: the readings of its thermometer, linear in between.
//
// Before the first reading the air is taken as the first, after the last as the last. That is an
// assumption, not knowledge: conclusions far beyond a reading must be wider.
#pragma once

#include <deque>
#include <optional>
#include <vector>

#include "core/basis/units.hpp"
#include "core/kinetics/condition.hpp"

namespace wheymark {

struct Reading {
  Instant at;
  Celsius air;
};

class TemperatureHistory {
 public:
  // Adds a reading that is later than the last. When there are limits::history_readings_max, the
  // oldest is dropped.
  void add(const Reading& reading);
  [[nodiscard]] bool is_full() const;

  // Puts a reading into its place among the others; does nothing when one of its instant is known.
  void insert(const Reading& reading);
  // Whether a reading is known that is less than `spacing` away from `instant`.
  [[nodiscard]] bool has_near(Instant instant, Milliseconds spacing) const;

  // Forgets what is not needed to know the air from `instant` on; returns what that was, in order.
  std::vector<Reading> forget_before(Instant instant);

  // Forgets the readings of `instant` and later: a wrong clock had put them there.
  void forget_from(Instant instant);

  // The oldest that is still known, and the last.
  [[nodiscard]] std::optional<Reading> first() const;
  [[nodiscard]] std::optional<Reading> last() const;
  [[nodiscard]] std::optional<Celsius> at(Instant instant) const;

  // All that is known, in order.
  [[nodiscard]] const std::deque<Reading>& readings() const { return readings_; }

  // The air from `from` to `to` as linear stretches, broken at every reading. Empty when there is
  // no reading at all or `to` is not after `from`.
  [[nodiscard]] std::vector<RoomStretch> between(Instant from, Instant to) const;

 private:
  std::deque<Reading> readings_;
};

}  // namespace wheymark
