#include "core/air/excursion.hpp"

#include <cmath>

namespace wheymark {
namespace {

constexpr double felt_after_h = 1.0;

}  // namespace

bool Excursion::beyond(double margin_k) const {
  return border_.above ? felt_c_ > border_.air_c - margin_k : felt_c_ < border_.air_c + margin_k;
}

void Excursion::read(Instant at, Celsius air) {
  if (!last_read_) {
    felt_c_ = air.degrees();
  } else {
    const double hours = hours_between(*last_read_, at);
    felt_c_ += (air.degrees() - felt_c_) * -std::expm1(-hours / felt_after_h);
  }
  last_read_ = at;

  if (!beyond(0.0)) {
    beyond_since_.reset();
  } else if (!beyond_since_) {
    beyond_since_ = at;
  }
  if (beyond(border_.margin_k)) {
    good_since_.reset();
  } else if (!good_since_) {
    good_since_ = at;
  }

  if (!since_ && beyond_since_ && hours_between(*beyond_since_, at) >= border_.lasts_h) {
    since_ = after_hours(*beyond_since_, border_.lasts_h);
  }
  if (since_ && good_since_ && hours_between(*good_since_, at) >= border_.over_h) since_.reset();
}

}  // namespace wheymark
