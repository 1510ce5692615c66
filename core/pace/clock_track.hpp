// When the acid clock of one batch showed what: instants and clock hours, both growing.
//
// The past of it is measured, the future forecast; a milestone's instant is found by inverting it.
// Points are ten minutes or more apart but for the last, and the clock is taken as linear between
// them: within ten minutes of a milk that warms by at most 8 K/h its rate changes by some percent,
// which moves an instant by seconds.
#pragma once

#include <optional>
#include <vector>

#include "core/basis/units.hpp"

namespace wheymark {

class ClockTrack {
 public:
  // Adds a point not earlier than the last. It takes the place of the last if that one is closer
  // than ten minutes to the one before it: so the end is always exact.
  void add(Instant at, double clock_h);
  // Adds a point however close it is.
  void end_with(Instant at, double clock_h);

  // The instant of the last point; before all time without any.
  [[nodiscard]] Instant ends_at() const {
    return points_.empty() ? Instant::min() : points_.back().at;
  }

  // Up to here no later point will change anything; before all time without any.
  [[nodiscard]] Instant settled_until() const;

  // What the clock showed; held before the first and after the last point. NaN without any.
  [[nodiscard]] double clock_h_at(Instant instant) const;
  // When the clock first showed `clock_h`: nothing when it has not yet, or for a NaN.
  [[nodiscard]] std::optional<Instant> instant_of(double clock_h) const;

 private:
  struct Point {
    Instant at;
    double clock_h;
  };
  // If so, the next point takes its place.
  [[nodiscard]] bool last_is_close() const;

  std::vector<Point> points_;
};

}  // namespace wheymark
