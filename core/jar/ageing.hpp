// How old is stored kefir really, by the warmth of the fridge and the time on the table?
//
// Effective age counts hours at 4 degC (see cold_storage.hpp): a warmer hour counts as more than
// one, a colder one never as less, so kefir is at least as old as the calendar says. It is the
// bottle's own temperature that counts, which follows the air with the lag of its milk, so a door
// left open for some minutes costs little. A fridge without a thermometer is taken as 4 degC, a
// room without one as 20.
#pragma once

#include <chrono>
#include <optional>

#include "core/air/place_air.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Two and three weeks at 4 degC from the day it was first stored (common practice).
inline constexpr std::chrono::days best_by_after{14};
inline constexpr std::chrono::days last_day_after{21};

class Ageing {
 public:
  // Of a batch that was stored. It begins at 4 degC when it first goes to the fridge: the time that
  // common practice gives includes the cooling.
  Ageing(const Batch& batch, const HouseholdSetup& setup, const Parameters& parameters);

  // Follows the air up to the last reading where the bottle stands. The batch is the one that it
  // was made for, perhaps with more stays at its end.
  void follow(const Batch& batch, const AirOf& air);

  // Effective age, hours; the air goes on as last read.
  [[nodiscard]] double hours_at(const Batch& batch, const AirOf& air, Instant now) const;

  // When the effective age reaches so much: going on as it has aged so far, or when it did. To the
  // hour, once it is older than the calendar; never later than by the calendar.
  [[nodiscard]] Instant reaches_best_by() const { return reaches(best_by_); }
  [[nodiscard]] Instant reaches_last_day() const { return reaches(last_day_); }

  // Whether it was followed past this instant, so that what happened then comes too late for it.
  [[nodiscard]] bool has_gone_beyond(Instant instant) const { return now_.at > instant; }
  [[nodiscard]] Instant settled_at() const { return now_.at; }

 private:
  struct State {
    Instant at;
    Celsius kefir;
    double aged_h;
  };
  // An age that is waited for, and when it was reached.
  struct Mark {
    double age_h;
    std::optional<Instant> reached;
  };
  [[nodiscard]] State aged(State from, const RoomStretch& stretch, const Stay& stay) const;
  [[nodiscard]] std::optional<Celsius> without_readings(const PlaceId& place) const;
  [[nodiscard]] Instant reaches(const Mark& mark) const;
  [[nodiscard]] bool older_than_calendar() const;

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  Instant stored_;
  double milk_ml_;
  State now_;
  Mark best_by_;
  Mark last_day_;
};

}  // namespace wheymark
