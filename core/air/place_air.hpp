// What is known of the air of one place, and what follows from its readings: what it has been, its
// habit, and whether it has been too warm or too cold for too long.
//
// Readings that a wrong clock had put into the future are forgotten once it has gone back, and with
// them whatever was concluded from them.
#pragma once

#include <functional>

#include "core/air/excursion.hpp"
#include "core/air/room_habit.hpp"
#include "core/air/temperature_history.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class PlaceAir {
 public:
  explicit PlaceAir(PlaceKind kind = PlaceKind::room);

  // Applies a believed reading. If it is not later than the last, the clock was wrong before: what
  // is known from its instant on is forgotten, and everything if that was all.
  void read(const Reading& reading, const HouseholdSetup& setup);
  [[nodiscard]] bool would_go_back(Instant instant) const;

  // Puts a reading that came late into its place; what follows from it is concluded by fold_late(),
  // once for many. Does nothing before what is still known.
  void read_late(const Reading& reading);
  void fold_late(const HouseholdSetup& setup);

  // Forgets what is not needed to know the air from `instant` on.
  void forget_before(Instant instant, const HouseholdSetup& setup);

  // How far the air may be off from the last reading only because its thermometer is in doubt, K.
  void doubt(double sd_k) { doubt_k_ = sd_k; }
  [[nodiscard]] double doubt_k() const { return doubt_k_; }

  [[nodiscard]] const TemperatureHistory& history() const { return history_; }
  [[nodiscard]] const Excursion& too_warm() const { return concluded_.too_warm; }
  [[nodiscard]] const Excursion& too_cold() const { return concluded_.too_cold; }

  // What lies ahead of the last reading; there must be one.
  [[nodiscard]] AirAhead ahead(const HouseholdSetup& setup) const;

 private:
  struct Concluded {
    RoomHabit habit;
    Excursion too_warm;
    Excursion too_cold;
    void read(const Reading& reading, const HouseholdSetup& setup);
  };
  void go_back_to(Instant instant, const HouseholdSetup& setup);
  void conclude_again(const HouseholdSetup& setup);

  TemperatureHistory history_;
  Concluded concluded_;
  Concluded before_history_;  // from all readings that are forgotten
  Concluded nothing_;
  bool forgot_some_ = false;
  double doubt_k_ = 0.0;
};

// The air of a place, or null when nothing is known of it.
using AirOf = std::function<const PlaceAir*(const PlaceId&)>;

}  // namespace wheymark
