// One batch that has not ended, followed from the pour on: how it ferments, how it ages once it was
// stored, and how the gas presses while its lid is tight.
//
// All three go along the same walk (walk.hpp), each as far as its readings reach. A late report of
// an instant that any of them has gone beyond makes the whole anew, because none can go back.
#pragma once

#include <optional>
#include <utility>

#include "core/jar/ageing.hpp"
#include "core/jar/fermentation.hpp"
#include "core/jar/lid_pressure.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

class RunningBatch {
 public:
  // `prior` is what is believed of the culture's pace before this batch's own reports.
  RunningBatch(const Batch& batch, const HouseholdSetup& setup, BeliefAsked prior,
               const Parameters& parameters, BrewTables& tables)
      : setup_(&setup),
        parameters_(&parameters),
        fermentation_(batch, setup, std::move(prior), parameters, tables) {}

  // Follows the air up to the last readings. The batch is the one that it was made for, perhaps
  // with more done to it since; not with anything that it has gone beyond.
  void follow(const Batch& batch, const AirOf& air);

  [[nodiscard]] Fermentation& fermentation() { return fermentation_; }
  [[nodiscard]] const Fermentation& fermentation() const { return fermentation_; }
  // Null until it was stored for the first time.
  [[nodiscard]] const Ageing* ageing() const { return ageing_ ? &*ageing_ : nullptr; }
  // Null under a loose lid.
  [[nodiscard]] const LidPressure* lid_pressure() const { return lid_ ? &*lid_ : nullptr; }

  // Whether it was followed past this instant, so that what happened then comes too late for it.
  [[nodiscard]] bool has_gone_beyond(Instant instant) const;
  // The earliest instant that is needed of any place's history to make it anew.
  [[nodiscard]] Instant needs_air_since() const { return fermentation_.started(); }

 private:
  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  Fermentation fermentation_;
  std::optional<Ageing> ageing_;
  std::optional<LidPressure> lid_;
};

}  // namespace wheymark
