// What is known of the air of one place, and what follows from its readings: what it has been, what
// it is used to, and whether it has been too warm or too cold for too long.
//
// Readings that a wrong clock had put into the future are forgotten once it has gone back, and with
// them whatever was concluded from them.
#pragma once

#include <functional>

#include "core/forecast/room_habit.hpp"
#include "core/forecast/temperature_history.hpp"
#include "core/household/plan.hpp"
#include "core/household/spell.hpp"

namespace wheymark {

class PlaceAir {
 public:
  explicit PlaceAir(PlaceKind kind = PlaceKind::room);

  // Takes a believed reading. One that is not later than the last says that the clock was wrong
  // before: what is known from its instant on is forgotten, and everything if that was all.
  void read(const Reading& reading, const Plan& plan);
  [[nodiscard]] bool would_go_back(Instant instant) const;

  // Forgets what is not needed to know the air from `instant` on.
  void forget_before(Instant instant, const Plan& plan);

  // How far the air may be off from the last reading only because its thermometer is in doubt, K.
  void doubt(double sd_k) { doubt_k_ = sd_k; }
  [[nodiscard]] double doubt_k() const { return doubt_k_; }

  [[nodiscard]] const TemperatureHistory& history() const { return history_; }
  [[nodiscard]] const Spell& too_warm() const { return concluded_.too_warm; }
  [[nodiscard]] const Spell& too_cold() const { return concluded_.too_cold; }

  // What lies ahead of the last reading; there must be one.
  [[nodiscard]] AirAhead ahead(const Plan& plan) const;

 private:
  struct Concluded {
    RoomHabit habit;
    Spell too_warm;
    Spell too_cold;
    void read(const Reading& reading, const Plan& plan);
  };
  void go_back_to(Instant instant, const Plan& plan);

  TemperatureHistory history_;
  Concluded concluded_;
  Concluded before_history_;  // from all readings that are forgotten
  Concluded nothing_;
  double doubt_k_ = 0.0;
};

// The air of a place, or null when nothing is known of it.
using AirOf = std::function<const PlaceAir*(const PlaceId&)>;

}  // namespace wheymark
