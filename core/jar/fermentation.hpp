// How sour one batch is and when it will be ready: its acid, what is believed of its pace, and what
// reports and a meter say of both. The milk's condition is the course's (milk_course.hpp).
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <variant>
#include <vector>

#include "core/air/place_air.hpp"
#include "core/forecast/forecast.hpp"
#include "core/jar/brew_tables.hpp"
#include "core/jar/milk_course.hpp"
#include "core/kinetics/condition.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/kinetics/signs.hpp"
#include "core/pace/clock_track.hpp"
#include "core/pace/pace.hpp"
#include "core/pace/pace_evidence.hpp"
#include "core/pace/straining_habit.hpp"
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

  // A settled step of the course; those with grains make the track.
  void add(const Batch& batch, const Condition& from, const Condition& to);
  // Weighs what was observed since; the forecast must be made anew then. The batch is the one that
  // it was made for, perhaps with more stays and observations at its end.
  void weigh(const Batch& batch, const MilkCourse& course, const AirOf& air);

  // Somebody was told that it may be ready, not before what was told so before.
  void told_to_strain(Instant at) { told_.push_back(at); }
  // Replaces the belief of the culture's pace, from what other batches have shown meanwhile.
  void believe(BeliefAsked prior);

  // Makes the forecast anew, from what is known now; this changes nothing else.
  void look_ahead(const Batch& batch, const MilkCourse& course, const AirOf& air) {
    forecast_ = forecast_with(pace(), batch, course, air);
  }

  // Nothing is known before the first reading of the batch's place.
  [[nodiscard]] bool known() const { return track_.ends_at() != Instant::min(); }
  // The course's condition, where it is known how far the grains came.
  [[nodiscard]] static std::optional<Condition> known_at(const Batch& batch,
                                                         const MilkCourse& course, const AirOf& air,
                                                         Instant instant);

  // The clock hours as these grains make them: pace (median) times clock.
  [[nodiscard]] double grown_h(const Condition& condition) const;
  // With what a meter has shown until then. Without grains it sours on, the more slowly the colder.
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
  // ln(the mean rate of its acid clock) until its last report; nothing when that was at the start.
  [[nodiscard]] std::optional<double> log_warmth(const Batch& batch) const;
  // Report by report, as they are weighed now: signs and pH in their order, then the verdict.
  [[nodiscard]] std::vector<WeighedReport> weighed(const Batch& batch, const MilkCourse& course,
                                                   const AirOf& air) const;
  // What its straining tells where no verdict was given.
  [[nodiscard]] std::optional<SilentStraining> strained_silently(const Batch& batch) const;
  // Whether no reading that is still to come can change what the reports tell.
  [[nodiscard]] bool reports_are_settled(const Batch& batch) const;
  // Missing while nothing is known, and once the batch is strained or in the fridge.
  [[nodiscard]] const std::optional<Forecast>& forecast() const { return forecast_; }

 private:
  // A pH that was measured, and the condition then.
  struct MeterReading {
    Condition then;
    double ph;
    double error_ph;
  };
  // How much further than computed a meter has found it: on the curve, and beyond its ends.
  struct ByMeter {
    double further_h = 0.0;
    double more_g_per_l = 0.0;
  };
  [[nodiscard]] AcidState acid_with(const Condition& condition, const ByMeter& by_meter) const;
  [[nodiscard]] ByMeter by_meter(const Condition& condition, double ph) const;
  // The last time by then that somebody was told that it may be ready.
  [[nodiscard]] std::optional<Instant> told_by(Instant at) const;
  [[nodiscard]] Look look_at(Instant at, const ClockTrack& track) const;
  [[nodiscard]] static Sign seen_before(const Batch& batch, std::size_t number);
  void read_meter(const Batch& batch, const MilkCourse& course, const AirOf& air);
  void weigh_reports(const Batch& batch, const MilkCourse& course, const AirOf& air);
  // Of the report with this number: observations in their order, then the verdict at straining.
  void weigh_report(PaceEvidence& evidence, const Batch& batch, std::size_t number,
                    const ClockTrack& track) const;
  // Of all reports up to the last, perhaps beyond what is settled; as far as the air is known.
  [[nodiscard]] ClockTrack track_to_reports(const Batch& batch, const MilkCourse& course,
                                            const AirOf& air) const;
  [[nodiscard]] std::optional<Forecast> forecast_with(const PaceBelief& pace, const Batch& batch,
                                                      const MilkCourse& course,
                                                      const AirOf& air) const;

  const HouseholdSetup* setup_;
  const Parameters* parameters_;
  const RateTable* rates_;
  std::shared_ptr<const AcidCurve> curve_;
  Milestones milestones_;          // the reference's
  mutable BeliefAsked ask_prior_;  // until it is known
  mutable std::optional<PaceBelief> prior_;
  mutable std::optional<PaceBelief> pace_;  // none where the evidence has changed since
  PaceEvidence settled_evidence_;           // of the reports at which the milk is known
  std::size_t settled_reports_ = 0;
  PaceEvidence evidence_;      // of all reports
  std::vector<Instant> told_;  // when somebody was told that it may be ready
  std::vector<MeterReading> meter_;
  ClockTrack track_;
  std::optional<Forecast> forecast_;
};

}  // namespace wheymark
