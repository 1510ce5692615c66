// How hard does the gas press under a tight lid, and since when is it too much?
//
// Gas forms by the yeasts' clock; what formed since the lid was closed is shut in, what formed
// before has left. That is a rough estimate (cultures differ by a factor of five, no lid is quite
// tight), good enough to say early that a lid should be vented, never that glass will hold.
#pragma once

#include <optional>

#include "core/air/place_air.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Beer bottles are made for several bar, preserving jars are not: a cautious border (our estimate).
inline constexpr double vent_above_kpa = 100.0;
// A bottle in the fridge is opened every few days (common practice).
inline constexpr double vent_in_fridge_after_h = 5.0 * 24.0;

class LidPressure {
 public:
  LidPressure(const Batch& batch, const HouseholdSetup& setup, const Parameters& parameters);

  // Follows the air up to the last reading where the batch stands.
  void follow(const Batch& batch, const AirOf& air);

  // Pressure above the air's, kPa, under a tight lid; the air goes on as last read. Nothing under a
  // loose lid, or while the air of the batch is not known.
  [[nodiscard]] std::optional<double> kpa(const Batch& batch, const AirOf& air, Instant now) const;

  // When it first passed vent_above_kpa since the lid was closed.
  [[nodiscard]] std::optional<Instant> pressed_since() const { return pressed_since_; }

  // Whether it was followed past this instant, so that what happened then comes too late for it.
  [[nodiscard]] bool has_gone_beyond(Instant instant) const { return now_.at > instant; }

 private:
  [[nodiscard]] Condition propagated(Condition from, const Batch& batch, const AirOf& air,
                                     Instant until) const;
  [[nodiscard]] Condition next(const Condition& from, const RoomStretch& stretch,
                               const Stay& stay) const;
  [[nodiscard]] double kefir_ml(const Batch& batch) const;
  [[nodiscard]] double kpa_of(const Batch& batch, const Condition& condition,
                              double gas_clock_at_closing_h) const;

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  double milk_ml_;
  Condition now_;
  std::optional<double> gas_clock_at_closing_h_;
  Instant closed_at_{};
  std::optional<Instant> pressed_since_;
};

}  // namespace wheymark
