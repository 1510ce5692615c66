#include "core/jar/fermentation.hpp"

#include <algorithm>
#include <utility>

#include "core/basis/check.hpp"
#include "core/jar/vessel.hpp"
#include "core/jar/walk.hpp"
#include "core/pace/observation.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

Brew brew_of(const Start& start) {
  return {*start.milk, *start.treatment, *start.milk_ml, *start.grain_g};
}

bool has_verdict(const Batch& batch) {
  return batch.strained && batch.strained->said.verdict;
}

// Until when the grains worked in this milk.
Instant grains_out(const Batch& batch) {
  if (batch.strained) return batch.strained->at;
  return batch.ended ? batch.ended->at : Instant::max();
}

// What was observed while the grains were in; without them the clock runs slower by an unknown
// share.
std::size_t observation_count(const Batch& batch) {
  const auto out = std::find_if(batch.observations.begin(), batch.observations.end(),
                                [&](const Observation& o) { return o.at > grains_out(batch); });
  return static_cast<std::size_t>(out - batch.observations.begin());
}

// What was reported of a batch's pace: its observations, then the verdict.
std::size_t report_count(const Batch& batch) {
  return observation_count(batch) + (has_verdict(batch) ? 1 : 0);
}

Instant report_at(const Batch& batch, std::size_t number) {
  return number < observation_count(batch) ? batch.observations[number].at : batch.strained->at;
}

}  // namespace

Fermentation::Fermentation(const Batch& batch, const HouseholdSetup& setup, BeliefAsked prior,
                           const Parameters& parameters, BrewTables& tables)
    : setup_(&setup),
      parameters_(&parameters),
      started_(batch.started),
      milk_ml_(*batch.start.milk_ml),
      milk_at_start_(*batch.start.milk_c),
      rates_(&tables.rates()),
      curve_(tables.curve(brew_of(batch.start))),
      milestones_(wheymark::milestones(*curve_, parameters)),
      ask_prior_(std::move(prior)) {}

double Fermentation::tau_of(const Stay& stay) const {
  return time_constant_h(*setup_, stay.jar, milk_ml_, *parameters_);
}

std::optional<Condition> Fermentation::followed(Condition from, const Batch& batch,
                                                const AirOf& air, Instant until,
                                                ClockTrack* track) const {
  const Stay* stays_at = nullptr;
  double tau_h = 0.0;
  const Instant came_to = walk(batch, air, wait_for_readings, from.at, until,
                               [&](const RoomStretch& stretch, const Stay& stay) {
                                 if (stays_at != &stay) tau_h = tau_of(stay);
                                 stays_at = &stay;
                                 if (track != nullptr && track->ends_at() >= grains_out(batch)) {
                                   track = nullptr;
                                 }
                                 from = advanced(from, stretch, tau_h, *parameters_);
                                 if (track != nullptr) track->add(from.at, from.acid_clock_h);
                               });
  if (came_to < until) return std::nullopt;
  return from;
}

void Fermentation::follow(const Batch& batch, const AirOf& air) {
  if (!settled_) {
    if (readings_of(batch.stays.front().place, air) == nullptr) return;
    settled_ = at_start();
    track_.add(started_, 0.0);
  }
  const Instant until = walk_settles_at(batch, air, wait_for_readings, settled_->at);
  const auto further = followed(*settled_, batch, air, until, &track_);
  if (further) settled_ = *further;
  weigh_reports(batch, air);
}

std::optional<Condition> Fermentation::at(const Batch& batch, const AirOf& air, Instant now) const {
  if (!settled_) return std::nullopt;
  const Condition from = now < settled_->at ? at_start() : *settled_;
  return followed(from, batch, air, now, nullptr);
}

Condition Fermentation::at_start() const {
  return {started_, milk_at_start_, 0.0, 0.0};
}

void Fermentation::believe(BeliefAsked prior) {
  ask_prior_ = std::move(prior);
  prior_.reset();
  pace_.reset();
}

const PaceBelief& Fermentation::prior() const {
  if (!prior_) prior_ = std::exchange(ask_prior_, nullptr)();
  return *prior_;
}

const PaceBelief& Fermentation::pace() const {
  if (!pace_) pace_ = prior().given(evidence_);
  return *pace_;
}

bool Fermentation::reports_are_settled(const Batch& batch) const {
  return settled_ && settled_reports_ == report_count(batch);
}

void Fermentation::weigh_reports(const Batch& batch, const AirOf& air) {
  const std::size_t reports = report_count(batch);
  if (settled_reports_ == reports) return;
  // Once the grains are out the track gets no more points, so that its end is as good as the rest.
  const bool complete = track_.ends_at() >= grains_out(batch);
  const Instant settled_until = complete ? track_.ends_at() : track_.settled_until();
  while (settled_reports_ < reports && report_at(batch, settled_reports_) <= settled_until) {
    weigh_report(settled_evidence_, batch, settled_reports_++, track_);
  }
  evidence_ = settled_evidence_;
  ClockTrack track = track_;
  for (std::size_t number = settled_reports_; number < reports; ++number) {
    const auto then = at(batch, air, report_at(batch, number));
    if (!then) break;
    if (then->at > track.ends_at()) track.end_with(then->at, then->acid_clock_h);
    weigh_report(evidence_, batch, number, track);
  }
  pace_.reset();
}

void Fermentation::weigh_report(PaceEvidence& evidence, const Batch& batch, std::size_t number,
                                const ClockTrack& track) const {
  const Instant told_of = report_at(batch, number);
  const Look look(track, told_of,
                  [this](Instant from, Instant to) { return looked_h_between(from, to, *setup_); });
  Sign seen_before = Sign::still_milk;
  int ph_before = 0;
  for (std::size_t i = 0; i < std::min(number, observation_count(batch)); ++i) {
    const Sign* sign = std::get_if<Sign>(&batch.observations[i].what);
    // The latest report, not the furthest: who reported "whey" and then "still milk" was wrong
    // once.
    if (sign != nullptr) seen_before = *sign;
    if (sign == nullptr) ++ph_before;
  }
  if (number == observation_count(batch)) {
    return weigh_verdict(evidence, *batch.strained->said.verdict, seen_before, look, milestones_,
                         *parameters_);
  }
  const Observation& seen = batch.observations[number];
  if (const Sign* sign = std::get_if<Sign>(&seen.what)) {
    weigh_sign(evidence, *sign, seen_before, look, milestones_, *parameters_);
  } else {
    weigh_ph(evidence, std::get<double>(seen.what), ph_before, look, *curve_, milestones_,
             *parameters_);
  }
}

std::optional<Forecast> Fermentation::forecast_with(const PaceBelief& pace, const Batch& batch,
                                                    const AirOf& air) const {
  if (!batch.fermenting() || !settled_) return std::nullopt;
  const Stay& stay = batch.stays.back();
  if (readings_of(stay.place, air) == nullptr) return std::nullopt;
  // From its present condition; earlier stays whose readings are still missing hold their last
  // value.
  const auto now = followed(*settled_, batch, air, std::max(settled_->at, stay.from), nullptr);
  if (!now) return std::nullopt;
  const AirAhead ahead = air(stay.place)->ahead(*setup_);
  ClockTrack past = track_;
  past.end_with(now->at, now->acid_clock_h);
  const ClockAhead clock(*now, ahead, tau_of(stay), *rates_, enough_clock_h(pace, milestones_));
  return wheymark::forecast(past, clock, pace, milestones_, *parameters_);
}

ClockTrack Fermentation::track_to_reports(const Batch& batch, const AirOf& air) const {
  ClockTrack track = track_;
  for (std::size_t number = 0; number < report_count(batch); ++number) {
    const Instant told_of = report_at(batch, number);
    if (told_of <= track.ends_at()) continue;
    const auto then = at(batch, air, told_of);
    if (then) track.end_with(then->at, then->acid_clock_h);
  }
  return track;
}

std::vector<WeighedReport> Fermentation::weighed(const Batch& batch, const AirOf& air) const {
  std::vector<WeighedReport> reports;
  if (!settled_) return reports;
  const ClockTrack track = track_to_reports(batch, air);
  PaceEvidence evidence;
  PaceBelief before = prior();
  for (std::size_t number = 0; number < report_count(batch); ++number) {
    if (report_at(batch, number) > track.ends_at()) break;
    weigh_report(evidence, batch, number, track);
    const PaceBelief after = prior().given(evidence);
    const auto opens = [&](const PaceBelief& pace) -> std::optional<InstantSpread> {
      const auto seen = forecast_with(pace, batch, air);
      return seen ? std::optional(seen->peak_opens) : std::nullopt;
    };
    std::variant<Sign, double, Verdict> said = Sign::still_milk;
    if (number == observation_count(batch)) {
      said = *batch.strained->said.verdict;
    } else {
      std::visit([&](const auto& what) { said = what; }, batch.observations[number].what);
    }
    reports.push_back({report_at(batch, number), said, before, after, opens(before), opens(after)});
    before = after;
  }
  return reports;
}

double Fermentation::grown_h(const Condition& condition) const {
  return pace().quantile(0.5) * condition.acid_clock_h;
}

AcidState Fermentation::acid(const Condition& condition) const {
  return curve_->at(grown_h(condition));
}

bool Fermentation::has_gone_beyond(Instant instant) const {
  return settled_ && settled_->at > instant;
}

}  // namespace wheymark
