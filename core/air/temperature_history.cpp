#include "core/air/temperature_history.hpp"

#include <algorithm>

#include "core/basis/check.hpp"
#include "core/basis/limits.hpp"

namespace wheymark {
namespace {

bool before(const Reading& reading, Instant instant) {
  return reading.at < instant;
}

Celsius between_two(const Reading& a, const Reading& b, Instant instant) {
  const double share = hours_between(a.at, instant) / hours_between(a.at, b.at);
  return a.air + share * (b.air - a.air);
}

}  // namespace

void TemperatureHistory::add(const Reading& reading) {
  check(readings_.empty() || readings_.back().at < reading.at, "readings come in order");
  if (is_full()) readings_.pop_front();
  readings_.push_back(reading);
}

bool TemperatureHistory::is_full() const {
  return readings_.size() >= limits::history_readings_max;
}

void TemperatureHistory::insert(const Reading& reading) {
  const auto next = std::lower_bound(readings_.begin(), readings_.end(), reading.at, before);
  if (next != readings_.end() && next->at == reading.at) return;
  readings_.insert(next, reading);
}

bool TemperatureHistory::has_near(Instant instant, Milliseconds spacing) const {
  const auto next = std::lower_bound(readings_.begin(), readings_.end(), instant, before);
  if (next != readings_.end() && next->at - instant < spacing) return true;
  return next != readings_.begin() && instant - std::prev(next)->at < spacing;
}

std::vector<Reading> TemperatureHistory::forget_before(Instant instant) {
  std::vector<Reading> forgotten;
  while (readings_.size() > 1 && readings_[1].at <= instant) {
    forgotten.push_back(readings_.front());
    readings_.pop_front();
  }
  return forgotten;
}

void TemperatureHistory::forget_from(Instant instant) {
  while (!readings_.empty() && readings_.back().at >= instant) readings_.pop_back();
}

std::optional<Reading> TemperatureHistory::first() const {
  if (readings_.empty()) return std::nullopt;
  return readings_.front();
}

std::optional<Reading> TemperatureHistory::last() const {
  if (readings_.empty()) return std::nullopt;
  return readings_.back();
}

std::optional<Celsius> TemperatureHistory::at(Instant instant) const {
  if (readings_.empty()) return std::nullopt;
  const auto next = std::lower_bound(readings_.begin(), readings_.end(), instant, before);
  if (next == readings_.end()) return readings_.back().air;
  if (next == readings_.begin() || next->at == instant) return next->air;
  return between_two(*std::prev(next), *next, instant);
}

std::vector<RoomStretch> TemperatureHistory::between(Instant from, Instant to) const {
  std::vector<RoomStretch> stretches;
  if (readings_.empty()) return stretches;
  Instant start = from;
  Celsius air = *at(from);
  auto next = std::lower_bound(readings_.begin(), readings_.end(), from, before);
  while (start < to) {
    while (next != readings_.end() && next->at <= start) ++next;
    const bool reading_ends_it = next != readings_.end() && next->at <= to;
    const Instant end = reading_ends_it ? next->at : to;
    const Celsius air_at_end = reading_ends_it ? next->air : *at(to);
    stretches.push_back({start, end, air, air_at_end});
    start = end;
    air = air_at_end;
  }
  return stretches;
}

}  // namespace wheymark
