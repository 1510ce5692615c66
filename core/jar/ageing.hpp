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

// How old it was when it was first stored.
struct AgeWhenStored {
  double cold_clock_h;  // what the clock of 4 degC showed once it was cold
  double aged_h;        // at 4 degC; 0 unless it was left out for too long
  [[nodiscard]] double at(double then_cold_clock_h) const {
    return then_cold_clock_h - cold_clock_h + aged_h;
  }
};

// The time that common practice gives includes a day on the table and the first cooling, so those
// do not count; what is longer on the table does (left_out.hpp). Of a batch that was stored and
// whose course came that far.
AgeWhenStored age_when_stored(const MilkCourse& course, const Batch& batch, const AirOf& air,
                              const Parameters& parameters);

class Ageing {
 public:
  // Of a batch that was stored.
  explicit Ageing(const Batch& batch);

  // Before the first step: how old it seems to have been stored, by the air as last read.
  void expect(const AgeWhenStored& begins) { aged_h_ = aged_when_stored_h_ = begins.aged_h; }
  // A settled step that ended after the storing.
  void add(const AgeWhenStored& begins, const Condition& from, const Condition& to);
  // As it was settled; nothing before the first step.
  [[nodiscard]] const std::optional<AgeWhenStored>& begins() const { return begins_; }

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
  double aged_when_stored_h_ = 0.0;
  std::optional<AgeWhenStored> begins_;
  Mark best_by_;
  Mark last_day_;
};

}  // namespace wheymark
