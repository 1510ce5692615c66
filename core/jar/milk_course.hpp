// What the milk of one batch has come through, from the pour to the last glass: the one condition
// from which its pH, its acidity, its gas, its pressure, its age and its dates follow.
//
// It is settled up to the last reading of the place where the batch stands (walk.hpp). While the
// grains are in, a place that has no readings yet is waited for, and until then nothing is known.
// Once they are out the bottle's dates must go on whatever is known: a fridge without readings is
// taken as 4 degC, a room as 20. If a reading of such a place comes after all, the course is made
// anew (`lacked`).
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <set>

#include "core/air/place_air.hpp"
#include "core/jar/walk.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

inline constexpr double room_without_readings_c = 20.0;

// When the grains were taken out of the milk; after all time while they are in.
Instant grains_out(const Batch& batch);

class MilkCourse {
 public:
  MilkCourse(const Batch& batch, const HouseholdSetup& setup, const Parameters& parameters);

  // Follows the air as far as it is settled, in steps none of which goes across the instant at
  // which the grains were taken out. The batch is the one that it was made for, perhaps with more
  // done to it since; not with anything that it has gone beyond.
  using OnStep = std::function<void(const Condition& from, const Condition& to)>;
  void follow(const Batch& batch, const AirOf& air, const OnStep& on_step);

  // With the air going on as last read; of the past, as it was. Nothing while the air of a stay
  // with grains is not known, NaN in the acid's and gas's clock once such a batch was strained. Not
  // before the batch's start.
  [[nodiscard]] std::optional<Condition> at(const Batch& batch, const AirOf& air,
                                            Instant instant) const;

  // As far as no reading that is still to come changes it.
  [[nodiscard]] const std::optional<Condition>& settled() const { return settled_; }
  [[nodiscard]] bool has_gone_beyond(Instant instant) const {
    return settled_ && settled_->at > instant;
  }
  // Whether a place that was assumed to be like any other has readings now.
  [[nodiscard]] bool lacked(const AirOf& air) const;

  // Hours in which the milk comes 63 % closer to the air, in the jar of this stay.
  [[nodiscard]] double tau_h(const Stay& stay) const;

 private:
  // A part of a stretch that lies in one jar, with the grains in or out.
  struct Step {
    RoomStretch stretch;
    double tau_h;
    GrainsAre grains;
    bool air_is_known;
  };
  bool begin(const Batch& batch, const AirOf& air);
  [[nodiscard]] AirWithoutReadings otherwise(const Batch& batch) const;
  [[nodiscard]] Condition after(const Condition& from, const Step& step) const;
  // From `from` to `until`; returns how far it came.
  template <class EachStep>
  Condition walked(const Batch& batch, const AirOf& air, Condition from, Instant until,
                   EachStep each_step) const;
  // Keeps the condition at the instants inside of a step that will be asked for again.
  void note(const Batch& batch, const Condition& from, const Step& step);

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  Instant started_;
  double milk_ml_;
  Celsius milk_at_start_;
  std::optional<Condition> settled_;
  std::map<Instant, Condition> noted_;
  std::set<PlaceId> assumed_;
};

}  // namespace wheymark
