#include "core/pace/clock_track.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/check.hpp"

namespace wheymark {

bool ClockTrack::last_is_close() const {
  return points_.size() > 1 &&
         points_.back().at < points_[points_.size() - 2].at + std::chrono::minutes{10};
}

Instant ClockTrack::settled_until() const {
  if (points_.empty()) return Instant::min();
  return last_is_close() ? points_[points_.size() - 2].at : points_.back().at;
}

void ClockTrack::add(Instant at, double clock_h) {
  const bool close = last_is_close();
  const Point replaced = close ? points_.back() : Point{at, clock_h};
  check(replaced.at <= at && replaced.clock_h <= clock_h, "a clock goes forward");
  if (close) points_.pop_back();
  end_with(at, clock_h);
}

void ClockTrack::end_with(Instant at, double clock_h) {
  check(points_.empty() || (points_.back().at <= at && points_.back().clock_h <= clock_h),
        "a clock goes forward");
  points_.push_back({at, clock_h});
}

std::optional<Instant> ClockTrack::instant_of(double clock_h) const {
  if (std::isnan(clock_h)) return std::nullopt;
  const auto reached = std::lower_bound(points_.begin(), points_.end(), clock_h,
                                        [](const Point& p, double h) { return p.clock_h < h; });
  if (reached == points_.end()) return std::nullopt;
  if (reached == points_.begin()) return reached->at;
  const Point& before = *std::prev(reached);
  const double share = (clock_h - before.clock_h) / (reached->clock_h - before.clock_h);
  return after_hours(before.at, share * hours_between(before.at, reached->at));
}

double ClockTrack::clock_h_at(Instant instant) const {
  if (points_.empty()) return std::nan("");
  const auto next = std::lower_bound(points_.begin(), points_.end(), instant,
                                     [](const Point& p, Instant i) { return p.at < i; });
  if (next == points_.end()) return points_.back().clock_h;
  if (next == points_.begin()) return next->clock_h;
  const Point& before = *std::prev(next);
  const double share = hours_between(before.at, instant) / hours_between(before.at, next->at);
  return before.clock_h + share * (next->clock_h - before.clock_h);
}

}  // namespace wheymark
