// How old is stored kefir really, by the warmth of the fridge and the time on the table?
//
// Effective age counts hours at 4 degC (see cold_storage.hpp): a warmer hour counts as more than
// one, a colder one never as less, so kefir is at least as old as the calendar says. It is the
// kefir's own temperature that counts, which follows the air with the lag of its milk, so a door
// left open for some minutes costs little.
#pragma once

#include <chrono>
#include <optional>

#include "core/jar/milk_course.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

// Two and three weeks at 4 degC from the day it was first stored (common practice).
inline constexpr std::chrono::days best_by_after{14};
inline constexpr std::chrono::days last_day_after{21};

// What the clock of 4 degC showed where its age begins: when it was first stored. The time that
// common practice gives includes the first cooling, so that does not count. Of a batch that was
// stored and whose course came that far.
double age_begins_cold_h(const MilkCourse& course, const Batch& batch, const AirOf& air,
                         const Parameters& parameters);

class Ageing {
 public:
  // Of a batch that was stored.
  explicit Ageing(const Batch& batch);

  // A settled step that ended after the storing.
  void add(double begins_cold_h, const Condition& from, const Condition& to);
  // As it was settled; nothing before the first step.
  [[nodiscard]] const std::optional<double>& begins_cold_h() const { return begins_cold_h_; }

  // When the effective age reaches so much: going on as it has aged so far, or when it did. To the
  // hour, once it is older than the calendar; never later than by the calendar.
  [[nodiscard]] Instant reaches_best_by() const { return reaches(best_by_); }
  [[nodiscard]] Instant reaches_last_day() const { return reaches(last_day_); }

  [[nodiscard]] Instant settled_at() const { return at_; }

 private:
  // An age that is waited for, and when it was reached.
  struct Mark {
    double age_h;
    std::optional<Instant> reached;
  };
  [[nodiscard]] Instant reaches(const Mark& mark) const;
  [[nodiscard]] bool older_than_calendar() const;

  Instant stored_;
  Instant at_;
  double aged_h_ = 0.0;
  std::optional<double> begins_cold_h_;
  Mark best_by_;
  Mark last_day_;
};

}  // namespace wheymark
