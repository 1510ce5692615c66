// How far one batch has come: its milk's temperature, its clocks, its acid, and what is believed of
// its pace.
//
// The condition is settled up to the last reading of the place where the batch stands: see
// walk.hpp.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <variant>
#include <vector>

#include "core/air/place_air.hpp"
#include "core/forecast/forecast.hpp"
#include "core/jar/brew_tables.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/kinetics/signs.hpp"
#include "core/pace/clock_track.hpp"
#include "core/pace/pace.hpp"
#include "core/pace/pace_evidence.hpp"
#include "core/record/batch.hpp"
#include "core/record/setup.hpp"

namespace wheymark {

// What was reported of a batch, and what it changed.
struct WeighedReport {
  Instant at;
  std::variant<Sign, double, Verdict> said;  // the number is a pH
  PaceBelief before;
  PaceBelief after;
  std::optional<InstantSpread> opens_before;  // none once the batch is strained
  std::optional<InstantSpread> opens_after;
};

// Computes a belief when it is needed. For most batches of a journal that is read it never is.
using BeliefAsked = std::function<PaceBelief()>;

class Fermentation {
 public:
  // `prior` is what is believed of the culture's pace before this batch's own reports; it is asked
  // at most once, and must give the same whenever that is.
  Fermentation(const Batch& batch, const HouseholdSetup& setup, BeliefAsked prior,
               const Parameters& parameters, BrewTables& tables);

  // Follows the air up to the last reading where the batch stands and weighs what was observed
  // since; the forecast must be made anew then. The batch is the one that it was made for, perhaps
  // with more stays and observations at its end; not with any that it has gone beyond.
  void follow(const Batch& batch, const AirOf& air);

  // Replaces the belief of the culture's pace, from what other batches have shown meanwhile.
  void believe(BeliefAsked prior);

  // Makes the forecast anew, from what is known now; this changes nothing else.
  void look_ahead(const Batch& batch, const AirOf& air) {
    forecast_ = forecast_with(pace(), batch, air);
  }

  [[nodiscard]] Instant started() const { return started_; }
  // Nothing is known before the first reading of the batch's place.
  [[nodiscard]] bool known() const { return settled_.has_value(); }
  // With the air going on as last read; of the past, as it was. Not before the batch's start.
  [[nodiscard]] std::optional<Condition> at(const Batch& batch, const AirOf& air,
                                            Instant now) const;

  // The clock hours as these grains make them: pace (median) times clock.
  [[nodiscard]] double grown_h(const Condition& condition) const;
  [[nodiscard]] AcidState acid(const Condition& condition) const;
  // As they are believed to come in this household.
  [[nodiscard]] Milestones milestones() const { return as_believed(milestones_, pace()); }
  // At pace 1, with the reference spacing.
  [[nodiscard]] const Milestones& reference_milestones() const { return milestones_; }
  // What its clock has shown, up to the last reading.
  [[nodiscard]] const ClockTrack& track() const { return track_; }
  [[nodiscard]] const PaceBelief& pace() const;
  // What was believed of the pace before this batch's own reports.
  [[nodiscard]] const PaceBelief& prior() const;
  // What this batch's reports alone tell of its pace.
  [[nodiscard]] const PaceEvidence& evidence() const { return evidence_; }
  // Report by report, as they are weighed now: signs and pH in their order, then the verdict.
  [[nodiscard]] std::vector<WeighedReport> weighed(const Batch& batch, const AirOf& air) const;
  // Whether no reading that is still to come can change what the reports tell.
  [[nodiscard]] bool reports_are_settled(const Batch& batch) const;
  // Missing while nothing is known, and once the batch is strained or in the fridge.
  [[nodiscard]] const std::optional<Forecast>& forecast() const { return forecast_; }

  // Whether it was followed past this instant, so that what happened then comes too late for it.
  [[nodiscard]] bool has_gone_beyond(Instant instant) const;

 private:
  [[nodiscard]] Condition at_start() const;
  [[nodiscard]] double tau_of(const Stay& stay) const;
  // Propagated to `until`, along every stay in between. Nothing when the air of a stay in between
  // is not known.
  [[nodiscard]] std::optional<Condition> followed(Condition from, const Batch& batch,
                                                  const AirOf& air, Instant until,
                                                  ClockTrack* track) const;
  void weigh_reports(const Batch& batch, const AirOf& air);
  // Of the report with this number: observations in their order, then the verdict at straining.
  void weigh_report(PaceEvidence& evidence, const Batch& batch, std::size_t number,
                    const ClockTrack& track) const;
  // Of all reports up to the last, perhaps beyond what is settled; as far as the air is known.
  [[nodiscard]] ClockTrack track_to_reports(const Batch& batch, const AirOf& air) const;
  [[nodiscard]] std::optional<Forecast> forecast_with(const PaceBelief& pace, const Batch& batch,
                                                      const AirOf& air) const;

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  Instant started_;
  double milk_ml_;
  Celsius milk_at_start_;
  const RateTable* rates_;
  std::shared_ptr<const AcidCurve> curve_;
  Milestones milestones_;          // the reference's
  mutable BeliefAsked ask_prior_;  // until it is known
  mutable std::optional<PaceBelief> prior_;
  mutable std::optional<PaceBelief> pace_;  // none where the evidence has changed since
  PaceEvidence settled_evidence_;           // of the reports at which the milk is known
  std::size_t settled_reports_ = 0;
  PaceEvidence evidence_;  // of all reports
  std::optional<Condition> settled_;
  ClockTrack track_;
  std::optional<Forecast> forecast_;
};

}  // namespace wheymark
