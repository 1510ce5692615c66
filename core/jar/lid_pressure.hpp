// How hard does the gas press under a tight lid, and since when is it too much?
//
// What gas formed since the lid was closed is shut in, what formed before has left. That is a rough
// estimate (cultures differ by a factor of five, no lid is quite tight), good enough to say early
// that a lid should be vented, never that glass will hold.
#pragma once

#include <optional>
#include <span>

#include "core/jar/milk_course.hpp"
#include "core/kinetics/cold_storage.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// Beer bottles are made for several bar, preserving jars are not: a cautious border (our estimate).
inline constexpr double vent_above_kpa = 100.0;
// A bottle in the fridge is opened every few days (common practice).
inline constexpr double vent_in_fridge_after_h = 5.0 * 24.0;

// Sugar that was added, and the clock of 4 degC then.
struct SugarAdded {
  double g_per_l;
  double cold_clock_h;
};

class LidPressure {
 public:
  LidPressure(const Batch& batch, const HouseholdSetup& setup, const Parameters& parameters);

  // Whether the lid is the one that was closed or opened last.
  [[nodiscard]] bool is_of(const Batch& batch) const { return batch.lid_since == closed_at_; }
  // The condition at closing and then, the end of a settled step; the sugar that was added until
  // then. Without grains it is the quick kefir that is warned of.
  void add(const Batch& batch, const Condition& closed, const Condition& then,
           std::span<const SugarAdded> sugar);

  // Pressure above the air's, kPa, of what formed between the two under a tight lid.
  [[nodiscard]] double kpa(const Batch& batch, const Condition& closed, const Condition& then,
                           std::span<const SugarAdded> sugar, Fizz fizz) const;

  // When it first passed vent_above_kpa since the lid was closed.
  [[nodiscard]] std::optional<Instant> pressed_since() const { return pressed_since_; }

 private:
  [[nodiscard]] double formed_g_per_l(const Batch& batch, const Condition& then,
                                      std::span<const SugarAdded> sugar, Fizz fizz) const;
  [[nodiscard]] double kefir_ml(const Batch& batch) const;
  [[nodiscard]] double room_ml(const Batch& batch) const;

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  double milk_ml_;
  Instant closed_at_;
  std::optional<Instant> pressed_since_;
};

}  // namespace wheymark
