#include "core/jar/ageing.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/check.hpp"
#include "core/jar/left_out.hpp"
#include "core/kinetics/cold_storage.hpp"

namespace wheymark {
namespace {

// Less than this beyond the calendar is rounding, or a bottle carried to the door.
constexpr double older_than_calendar_h = 1.0;
// The first day does not show how a fridge is: its rate is drawn towards that of 4 degC.
constexpr double rate_settles_h = 24.0;

double hours_of(std::chrono::days days) {
  return 24.0 * static_cast<double>(days.count());
}

}  // namespace

AgeWhenStored age_when_stored(const MilkCourse& course, const Batch& batch, const AirOf& air,
                              const Parameters& parameters) {
  const Instant stored = batch.stored.front().at;
  const auto then = course.at(batch, air, stored);
  check(then.has_value(), "the air of a bottle is known or assumed");
  const double tau_h = course.tau_h(batch.stays[batch.stay_at(stored)]);
  return {then->cold_clock_h + cooling_ages_h(then->milk, tau_h, parameters),
          std::max(0.0, then->cold_clock_h - on_the_table_cold_h(parameters))};
}

Ageing::Ageing(const Batch& batch)
    : stored_(batch.stored.front().at),
      at_(stored_),
      best_by_{hours_of(best_by_after), std::nullopt},
      last_day_{hours_of(last_day_after), std::nullopt} {}

void Ageing::add(const AgeWhenStored& begins, const Condition& from, const Condition& to) {
  begins_ = begins;
  aged_when_stored_h_ = begins.aged_h;
  aged_h_ = begins.at(to.cold_clock_h);
  at_ = to.at;
  for (Mark* mark : {&best_by_, &last_day_}) {
    if (!mark->reached) {
      mark->reached =
          cold_clock_passes(begins.cold_clock_h - begins.aged_h + mark->age_h, from, to);
    }
  }
}

bool Ageing::older_than_calendar() const {
  return aged_h_ > hours_between(stored_, at_) + older_than_calendar_h;
}

Instant Ageing::reaches(const Mark& mark) const {
  const Instant calendar = after_hours(stored_, mark.age_h);
  if (!older_than_calendar())
    return calendar;  // NaN as well: then the calendar is all that is known
  const double since_stored_h = aged_h_ - aged_when_stored_h_;
  const double rate =
      (since_stored_h + rate_settles_h) / (hours_between(stored_, at_) + rate_settles_h);
  const Instant reached = mark.reached.value_or(after_hours(at_, (mark.age_h - aged_h_) / rate));
  return std::min(calendar, Instant(std::chrono::floor<std::chrono::hours>(reached)));
}

}  // namespace wheymark
