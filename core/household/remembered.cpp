#include "core/household/remembered.hpp"

#include <cmath>

#include "core/household/jar_state.hpp"
#include "core/jar/milk_course.hpp"
#include "core/jar/vessel.hpp"
#include "core/kinetics/condition.hpp"
#include "core/pace/clock_track.hpp"
#include "core/pace/observation.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

constexpr std::chrono::minutes step{10};

// The acid clock of a batch in air that stays the same.
ClockTrack track_of(const Batch& batch, double air_c, double tau_h, const Parameters& parameters) {
  ClockTrack track;
  Condition now{batch.started, Celsius(*batch.start.milk_c), 0.0, 0.0};
  track.add(now.at, 0.0);
  while (now.at < batch.strained->at) {
    const Instant next = std::min(now.at + step, batch.strained->at);
    now = advanced(now, {now.at, next, Celsius(air_c), Celsius(air_c)}, tau_h, parameters);
    track.add(now.at, now.acid_clock_h);
  }
  return track;
}

}  // namespace

PaceEvidence remembered_evidence(const Batch& batch, const HouseholdSetup& setup,
                                 BrewTables& tables, const Parameters& p) {
  const Start& start = batch.start;
  const auto curve = tables.curve({*start.milk, *start.treatment, *start.milk_ml, *start.grain_g});
  const Milestones signs = milestones(*curve, p);
  const double tau_h = time_constant_h(setup, start.jar, *start.milk_ml, p);
  const double air_c = batch.room_c.value_or(room_without_readings_c);
  const auto clock_h = [&](double celsius) {
    return track_of(batch, celsius, tau_h, p).clock_h_at(batch.strained->at);
  };
  const ClockTrack track = track_of(batch, air_c, tau_h, p);
  const auto look_at = [&](Instant at) {
    return Look(track, at,
                [&](Instant from, Instant to) { return looked_h_between(from, to, setup); });
  };
  PaceEvidence evidence;
  const auto seen = first_seen(batch, Sign::whey_pockets);
  if (seen) weigh_sign(evidence, Sign::whey_pockets, Sign::still_milk, look_at(*seen), signs, p);
  if (const auto verdict = batch.strained->said.verdict) {
    weigh_verdict(evidence, *verdict, seen ? Sign::whey_pockets : Sign::still_milk,
                  look_at(batch.strained->at), signs, p);
  }
  const double log_rate_a_k = std::log(clock_h(air_c + 0.5) / clock_h(air_c - 0.5));
  const double air_sd_k = batch.room_c ? p.usual_air_sd_k : p.usual_air_unknown_sd_k;
  return evidence.moved(0.0, log_rate_a_k * air_sd_k);
}

}  // namespace wheymark
