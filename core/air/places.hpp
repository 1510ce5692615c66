// The places of the setup: each one's thermometer, its air, and how far that air is in doubt.
//
// A reading is decided first and applied once it was recorded. Readings that a wrong clock had put
// into the future are forgotten when it has gone back.
#pragma once

#include <optional>
#include <string>
#include <unordered_map>
#include <vector>

#include "core/air/place_air.hpp"
#include "core/air/thermometer.hpp"
#include "core/basis/agenda.hpp"
#include "core/basis/result.hpp"
#include "core/record/entry.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

class Places {
 public:
  // `setup` must outlive it.
  explicit Places(const HouseholdSetup& setup);

  // A reading of a place's thermometer to keep, or a doubt to keep, or why it is of no use (known
  // already, too old, too close to the last). One of an impossible time counts as of now, with
  // doubt; `doubt_k` is a doubt that its message shows. The place must be in the setup.
  [[nodiscard]] Result<Entry> decide(const PlaceId& place, Celsius air, Instant at, Instant now,
                                     double doubt_k = 0.0) const;
  // Whether a reading of now would be too close to the last.
  [[nodiscard]] bool has_just_spoken(const PlaceId& place, Instant now) const;

  // What a reading did; nothing for a place that has left the setup.
  struct Applied {
    bool is_news;          // there may be something to announce; else it only puts off a silence
    bool clock_went_back;  // it is not later than the last
    bool is_late;          // the same, but it was put into its place: fold_late() concludes from it
  };
  std::optional<Applied> apply(const ReadingTaken& taken);
  bool apply(const ReadingDoubted& doubted);  // false for a place that has left the setup
  // A thermometer has just sent something of use, whenever it was measured: it is not silent.
  bool hear(const PlaceId& place, Instant now);
  // Concludes anew what follows from readings that came late.
  void fold_late(const PlaceId& place);
  // It has just sent something in which there is no reading; whether that changes its status.
  bool hear_nonsense(const PlaceId& place, const std::string& what, Instant now);
  // Its hub says this instead of a reading; whether that is new. Empty: it is there again.
  bool hear_away(const PlaceId& place, const std::string& said);
  // Of its several thermometers these do not count; whether that is new. Empty: all do.
  bool are_at_odds(const PlaceId& place, const std::string& which);
  void clock_went_back(Instant now);

  // Weighs how far thermometers are in doubt by now, in steps; returns the places where that has
  // changed. This does not affect what the journal makes.
  std::vector<PlaceId> weigh_doubts(Instant now);
  void weigh_all_next_time();

  // Some hours after it last forgot, because how far back air is needed is asked of every batch.
  [[nodiscard]] bool is_time_to_forget(const PlaceId& place, Instant now) const;
  void forget_before(const PlaceId& place, Instant needed_since, Instant now);

  // Whether an old reading must be kept because of what it began: ids of lasting conditions are
  // made of it (a silence, a sticking, an excursion), and must not change when it is read again.
  [[nodiscard]] bool something_rests_on(const PlaceId& place, Instant at) const;

  [[nodiscard]] const Thermometer& thermometer(const PlaceId& place) const;
  // Null for a place that is not in the setup.
  [[nodiscard]] const PlaceAir* air(const PlaceId& place) const;
  [[nodiscard]] AirOf air_of() const;
  // Its readings; null for a place that is not in the setup.
  [[nodiscard]] const TemperatureHistory* history(const PlaceId& place) const;
  // How far its air may be off for doubt in its thermometer, as last weighed, K.
  [[nodiscard]] double doubt_k(const PlaceId& place) const;

 private:
  struct State {
    Thermometer thermometer;
    PlaceAir air;
    Instant forgot_at{};
  };
  [[nodiscard]] Result<Entry> decide_late(const PlaceId& place, const State& state, Celsius air,
                                          Instant at, Instant now, double doubt_k) const;
  [[nodiscard]] State* find(const PlaceId& place);
  [[nodiscard]] const State* find(const PlaceId& place) const;

  const HouseholdSetup* setup_;
  std::unordered_map<PlaceId, State> states_;
  Agenda<PlaceId> doubts_;  // whose thermometer must be weighed, and when
};

}  // namespace wheymark
