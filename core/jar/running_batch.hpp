// One batch that has not ended, followed from the pour to the last glass: what its milk comes
// through (MilkCourse), and what follows from that: how sour it is and when it will be ready, how
// old it is once it was stored, whether it stands out of the fridge for too long, and how its gas
// presses while the lid is tight.
//
// A late report of an instant beyond which the course has gone makes the whole anew, because it
// cannot go back.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "core/jar/ageing.hpp"
#include "core/jar/fermentation.hpp"
#include "core/jar/left_out.hpp"
#include "core/jar/lid_pressure.hpp"
#include "core/jar/milk_course.hpp"
#include "core/record/batch.hpp"

namespace wheymark {

class RunningBatch {
 public:
  // `prior` is what is believed of the culture's pace before this batch's own reports.
  RunningBatch(const Batch& batch, const HouseholdSetup& setup, BeliefAsked prior,
               const Parameters& parameters, BrewTables& tables)
      : setup_(&setup),
        parameters_(&parameters),
        started_(batch.started),
        course_(batch, setup, parameters),
        fermentation_(batch, setup, std::move(prior), parameters, tables) {}

  // Follows the air up to the last readings. The batch is the one that it was made for, perhaps
  // with more done to it since; not with anything that it has gone beyond.
  void follow(const Batch& batch, const AirOf& air);
  // Makes the forecast anew, from what is known now; this changes nothing else.
  void look_ahead(const Batch& batch, const AirOf& air) {
    fermentation_.look_ahead(batch, course_, air);
  }

  // What is known of its milk, with the air going on as last read; nothing while it is not known
  // how far the grains came.
  [[nodiscard]] std::optional<Condition> at(const Batch& batch, const AirOf& air,
                                            Instant instant) const {
    return Fermentation::known_at(batch, course_, air, instant);
  }
  // Of a batch that was stored: its age by then, in hours at 4 degC.
  [[nodiscard]] double aged_h(const Batch& batch, const AirOf& air, Instant then) const;
  // Pressure above the air's under a tight lid; nothing under a loose one.
  [[nodiscard]] std::optional<double> kpa(const Batch& batch, const AirOf& air, Instant then,
                                          Fizz fizz) const;
  // Of a batch in its second fermentation: when it has likely become fizzy, going on as it is.
  [[nodiscard]] Instant second_ready(const Batch& batch, const AirOf& air) const;
  // While strained kefir stands out of the fridge, going on as it is.
  [[nodiscard]] std::optional<LeftOut> left_out(const Batch& batch, const AirOf& air) const;
  [[nodiscard]] std::vector<WeighedReport> weighed(const Batch& batch, const AirOf& air) const {
    return fermentation_.weighed(batch, course_, air);
  }

  [[nodiscard]] Fermentation& fermentation() { return fermentation_; }
  [[nodiscard]] const Fermentation& fermentation() const { return fermentation_; }
  // Null until it was stored for the first time.
  [[nodiscard]] const Ageing* ageing() const { return ageing_ ? &*ageing_ : nullptr; }
  // Null under a loose lid.
  [[nodiscard]] const LidPressure* lid_pressure() const { return lid_ ? &*lid_ : nullptr; }

  // Whether it was followed past this instant, so that what happened then comes too late for it.
  [[nodiscard]] bool has_gone_beyond(Instant instant) const {
    return course_.has_gone_beyond(instant);
  }
  // As far as no reading that is still to come changes it; before all time where nothing is known.
  [[nodiscard]] Instant settled_at() const {
    return course_.settled() ? course_.settled()->at : Instant::min();
  }
  // Whether air that was assumed has been read since, so that it must be made anew.
  [[nodiscard]] bool lacked(const AirOf& air) const { return course_.lacked(air); }
  // The earliest instant that is needed of any place's history to make it anew.
  [[nodiscard]] Instant needs_air_since() const { return started_; }

 private:
  [[nodiscard]] AgeWhenStored age_when_stored(const Batch& batch, const AirOf& air) const;
  [[nodiscard]] std::vector<SugarAdded> sugar(const Batch& batch, const AirOf& air) const;
  // What the clock of 4 degC shows when a second fermentation is ready; nothing while it is not
  // known when it began.
  [[nodiscard]] std::optional<double> ready_cold_h(const Batch& batch, const AirOf& air) const;
  void add_step(const Batch& batch, const AirOf& air, const Condition& from, const Condition& to);

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  Instant started_;
  MilkCourse course_;
  Fermentation fermentation_;
  std::optional<Ageing> ageing_;
  std::optional<LidPressure> lid_;
  std::optional<OutOfFridge> out_;
  // Of the last second fermentation: when it began, and when it was ready.
  struct Second {
    Instant begun;
    std::optional<Instant> ready;
  };
  std::optional<Second> second_;
};

}  // namespace wheymark
