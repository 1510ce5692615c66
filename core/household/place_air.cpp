#include "core/household/place_air.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::hours remembered_every{24};

}  // namespace

PlaceAir::PlaceAir(PlaceKind kind)
    : concluded_{{}, Spell(kind == PlaceKind::fridge ? warm_fridge : hot_room), Spell(cold_room)},
      nothing_(concluded_) {}

void PlaceAir::Concluded::read(const Reading& reading, const Plan& plan) {
  habit.read(reading, plan.utc_offset(reading.at));
  too_warm.read(reading.at, reading.air);
  too_cold.read(reading.at, reading.air);
}

bool PlaceAir::would_go_back(Instant instant) const {
  return history_.last() && history_.last()->at >= instant;
}

void PlaceAir::read(const Reading& reading, const Plan& plan) {
  if (would_go_back(reading.at)) go_back_to(reading.at, plan);
  history_.add(reading);
  concluded_.read(reading, plan);
  if (once_.empty() || reading.at >= once_.back().at + remembered_every) {
    once_.push_back({reading.at, concluded_});
  }
}

void PlaceAir::go_back_to(Instant instant, const Plan& plan) {
  history_.forget_from(instant);
  while (!once_.empty() && once_.back().at >= instant) once_.pop_back();
  concluded_ = once_.empty() ? nothing_ : once_.back().concluded;
  const Instant from = once_.empty() ? Instant::min() : once_.back().at;
  history_.each_after(from, [&](const Reading& reading) { concluded_.read(reading, plan); });
}

void PlaceAir::forget_before(Instant instant) {
  history_.forget_before(instant);
  while (once_.size() > 1 && once_[1].at <= instant) once_.pop_front();
}

AirAhead PlaceAir::ahead(const Plan& plan) const {
  const Reading last = *history_.last();
  AirAhead ahead = concluded_.habit.ahead(last, plan.utc_offset(last.at));
  ahead.doubt_k = doubt_k_;
  return ahead;
}

}  // namespace wheymark
