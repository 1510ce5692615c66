// How old is stored kefir really, by the warmth of the fridge and the time on the table?
//
// Effective age counts hours at 4 degC (see cold_storage.hpp): a warmer hour counts as more than
// one, a colder one never as less, so kefir is at least as old as the calendar says. It is the
// bottle's own temperature that counts, which follows the air with the lag of its milk, so a door
// left open for some minutes costs little. A fridge without a thermometer is taken as 4 degC, a
// room without one as 20.
#pragma once

#include <optional>

#include "core/jar/ferment.hpp"
#include "core/jar/walk.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class Ageing {
 public:
  // Of a batch that was stored. It begins at 4 degC when it first goes to the fridge: what common
  // practice says of the time it keeps has the cooling in it.
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

  [[nodiscard]] Instant settled_at() const { return now_.at; }
  [[nodiscard]] Instant needs_air_since() const { return now_.at; }

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
  void begin();

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  Instant stored_;
  double milk_ml_;
  State now_;
  Mark best_by_;
  Mark last_day_;
  std::size_t stays_followed_ = 0;
};

}  // namespace wheymark
