#include "core/air/place_air.hpp"

namespace wheymark {

PlaceAir::PlaceAir(PlaceKind kind)
    : concluded_{{},
                 Excursion(kind == PlaceKind::fridge ? warm_fridge : hot_room),
                 Excursion(cold_room)},
      before_history_(concluded_),
      nothing_(concluded_) {}

void PlaceAir::Concluded::read(const Reading& reading, const HouseholdSetup& setup) {
  habit.read(reading, setup.utc_offset(reading.at));
  too_warm.read(reading.at, reading.air);
  too_cold.read(reading.at, reading.air);
}

bool PlaceAir::would_go_back(Instant instant) const {
  return history_.last() && history_.last()->at >= instant;
}

void PlaceAir::read(const Reading& reading, const HouseholdSetup& setup) {
  if (would_go_back(reading.at)) go_back_to(reading.at, setup);
  if (history_.is_full()) {
    before_history_.read(*history_.first(), setup);
    forgot_some_ = true;
  }
  history_.add(reading);
  concluded_.read(reading, setup);
}

void PlaceAir::go_back_to(Instant instant, const HouseholdSetup& setup) {
  history_.forget_from(instant);
  if (!history_.last()) {
    before_history_ = nothing_;
    forgot_some_ = false;
  }
  conclude_again(setup);
}

void PlaceAir::conclude_again(const HouseholdSetup& setup) {
  concluded_ = before_history_;
  for (const Reading& reading : history_.readings()) concluded_.read(reading, setup);
}

void PlaceAir::read_late(const Reading& reading) {
  const auto first = history_.first();
  if (history_.is_full() || (forgot_some_ && first && reading.at < first->at)) return;
  history_.insert(reading);
}

void PlaceAir::fold_late(const HouseholdSetup& setup) {
  conclude_again(setup);
}

void PlaceAir::forget_before(Instant instant, const HouseholdSetup& setup) {
  for (const Reading& gone : history_.forget_before(instant)) {
    before_history_.read(gone, setup);
    forgot_some_ = true;
  }
}

AirAhead PlaceAir::ahead(const HouseholdSetup& setup) const {
  const Reading last = *history_.last();
  AirAhead ahead = concluded_.habit.ahead(last, setup.utc_offset(last.at));
  ahead.doubt_k = doubt_k_;
  return ahead;
}

}  // namespace wheymark
