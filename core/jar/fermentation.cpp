#include "core/jar/fermentation.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/basis/check.hpp"
#include "core/kinetics/cold_storage.hpp"
#include "core/pace/observation.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

// How far the computed pH may be off: four laboratories' kefirs stand 0.1 to 0.4 from it. And how
// far it may wander from a reading (our estimates).
constexpr double computed_sd_ph = 0.25;
constexpr double wanders_ph_in_an_hour = 0.03;
constexpr double cannot_be_sds = 3.0;
// Who was not told yet that it may be ready looks less often (our estimate).
constexpr double untold_looks_share = 0.4;
constexpr std::size_t readings_believed = 12;  // the latest; what older ones say has been overtaken

double square(double x) {
  return x * x;
}

Brew brew_of(const Start& start) {
  return {*start.milk, *start.treatment, *start.milk_ml, *start.grain_g};
}

bool has_verdict(const Batch& batch) {
  return batch.strained && batch.strained->said.verdict;
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

// Said so long after it may have happened, it tells nothing of the pace.
bool is_known_when(Instant at, const std::optional<Instant>& not_before) {
  return !not_before || at - *not_before < std::chrono::hours{1};
}

Instant report_at(const Batch& batch, std::size_t number) {
  return number < observation_count(batch) ? batch.observations[number].at : batch.strained->at;
}

}  // namespace

Fermentation::Fermentation(const Batch& batch, const HouseholdSetup& setup, BeliefAsked prior,
                           const Parameters& parameters, BrewTables& tables)
    : setup_(&setup),
      parameters_(&parameters),
      rates_(&tables.rates()),
      curve_(tables.curve(brew_of(batch.start))),
      milestones_(wheymark::milestones(*curve_, parameters)),
      ask_prior_(std::move(prior)) {}

void Fermentation::add(const Batch& batch, const Condition& from, const Condition& to) {
  if (to.at > grains_out(batch) || std::isnan(to.acid_clock_h)) return;
  if (!known()) track_.add(from.at, from.acid_clock_h);
  track_.add(to.at, to.acid_clock_h);
}

void Fermentation::weigh(const Batch& batch, const MilkCourse& course, const AirOf& air) {
  if (!known()) {
    if (readings_of(batch.stays.front().place, air) == nullptr) return;
    track_.add(batch.started, 0.0);
  }
  weigh_reports(batch, course, air);
  read_meter(batch, course, air);
}

void Fermentation::read_meter(const Batch& batch, const MilkCourse& course, const AirOf& air) {
  meter_.clear();
  for (auto seen = batch.observations.rbegin();
       seen != batch.observations.rend() && meter_.size() < readings_believed; ++seen) {
    const double* ph = std::get_if<double>(&seen->what);
    if (ph == nullptr) continue;
    const auto then = known_at(batch, course, air, seen->at);
    if (then) meter_.push_back({*then, *ph, seen->ph_error});
  }
  std::reverse(meter_.begin(), meter_.end());
}

std::optional<Condition> Fermentation::known_at(const Batch& batch, const MilkCourse& course,
                                                const AirOf& air, Instant instant) {
  const auto then = course.at(batch, air, instant);
  return then && !std::isnan(then->acid_clock_h) ? then : std::nullopt;
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
  const bool to_its_end = !batch.strained || track_.ends_at() >= grains_out(batch);
  return known() && settled_reports_ == report_count(batch) && to_its_end;
}

std::optional<Instant> Fermentation::told_by(Instant at) const {
  const auto later =
      std::find_if(told_.rbegin(), told_.rend(), [&](Instant told) { return told <= at; });
  return later == told_.rend() ? std::nullopt : std::optional(*later);
}

// Until they are told that it may be ready, people look less often.
Look Fermentation::look_at(Instant at, const ClockTrack& track) const {
  const auto told = told_by(at);
  return Look(track, at, [&](Instant from, Instant to) {
    if (!told || *told <= from) return looked_h_between(from, to, *setup_);
    return untold_looks_share * looked_h_between(from, *told, *setup_) +
           looked_h_between(*told, to, *setup_);
  });
}

// The latest report, not the furthest: who reported "whey" and then "still milk" was wrong once.
Sign Fermentation::seen_before(const Batch& batch, std::size_t number) {
  Sign before = Sign::still_milk;
  for (std::size_t i = 0; i < std::min(number, observation_count(batch)); ++i) {
    const Sign* sign = std::get_if<Sign>(&batch.observations[i].what);
    if (sign != nullptr) before = *sign;
  }
  return before;
}

std::optional<SilentStraining> Fermentation::strained_silently(const Batch& batch) const {
  if (!batch.strained || has_verdict(batch)) return std::nullopt;
  const Instant at = batch.strained->at;
  if (!is_known_when(at, batch.strained->not_before)) return std::nullopt;
  const PlaceSetup* place = setup_->place(batch.stays.back().place);
  const bool was_cooled = place != nullptr && place->kind == PlaceKind::fridge;
  if (track_.ends_at() < at || was_cooled) return std::nullopt;
  const auto told = told_by(at);
  return silent_straining(
      hours_between(batch.started, at),
      told ? std::optional(looked_h_between(std::min(at, when_awake(*told, *setup_)), at, *setup_))
           : std::nullopt,
      seen_before(batch, observation_count(batch)), look_at(at, track_), milestones_, *parameters_);
}

std::optional<double> Fermentation::log_warmth(const Batch& batch) const {
  const std::size_t reports = report_count(batch);
  if (reports == 0 && !batch.strained) return std::nullopt;
  const Instant until = reports == 0 ? batch.strained->at : report_at(batch, reports - 1);
  const double hours = hours_between(batch.started, until);
  const double clock_h = track_.clock_h_at(until);
  if (!(hours > 0.0) || !(clock_h > 0.0)) return std::nullopt;
  return std::log(clock_h / hours);
}

void Fermentation::weigh_reports(const Batch& batch, const MilkCourse& course, const AirOf& air) {
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
    const auto then = known_at(batch, course, air, report_at(batch, number));
    if (!then) break;
    if (then->at > track.ends_at()) track.end_with(then->at, then->acid_clock_h);
    weigh_report(evidence_, batch, number, track);
  }
  pace_.reset();
}

void Fermentation::weigh_report(PaceEvidence& evidence, const Batch& batch, std::size_t number,
                                const ClockTrack& track) const {
  const Instant told_of = report_at(batch, number);
  const auto& not_before = number < observation_count(batch) ? batch.observations[number].not_before
                                                             : batch.strained->not_before;
  if (!is_known_when(told_of, not_before)) return;
  const Look look = look_at(told_of, track);
  const Sign before = seen_before(batch, number);
  if (number == observation_count(batch)) {
    return weigh_verdict(evidence, *batch.strained->said.verdict, before, look, milestones_,
                         *parameters_);
  }
  const auto ph_before = std::count_if(
      batch.observations.begin(), batch.observations.begin() + static_cast<std::ptrdiff_t>(number),
      [](const Observation& o) { return std::holds_alternative<double>(o.what); });
  const Observation& seen = batch.observations[number];
  if (const Sign* sign = std::get_if<Sign>(&seen.what)) {
    weigh_sign(evidence, *sign, before, look, milestones_, *parameters_);
  } else {
    weigh_ph(evidence, std::get<double>(seen.what), seen.ph_error, static_cast<int>(ph_before),
             look, *curve_, milestones_, *parameters_);
  }
}

std::optional<Forecast> Fermentation::forecast_with(const PaceBelief& pace, const Batch& batch,
                                                    const MilkCourse& course,
                                                    const AirOf& air) const {
  if (!batch.fermenting() || !course.settled()) return std::nullopt;
  const Stay& stay = batch.stays.back();
  if (readings_of(stay.place, air) == nullptr) return std::nullopt;
  // From its present condition; earlier stays whose readings are still missing hold their last
  // value.
  const auto now = course.at(batch, air, std::max(course.settled()->at, stay.from));
  if (!now) return std::nullopt;
  const AirAhead ahead = air(stay.place)->ahead(*setup_);
  ClockTrack past = track_;
  past.end_with(now->at, now->acid_clock_h);
  const ClockAhead clock(*now, ahead, course.tau_h(stay), *rates_,
                         enough_clock_h(pace, milestones_));
  return wheymark::forecast(past, clock, pace, milestones_, *parameters_);
}

ClockTrack Fermentation::track_to_reports(const Batch& batch, const MilkCourse& course,
                                          const AirOf& air) const {
  ClockTrack track = track_;
  for (std::size_t number = 0; number < report_count(batch); ++number) {
    const Instant told_of = report_at(batch, number);
    if (told_of <= track.ends_at()) continue;
    const auto then = known_at(batch, course, air, told_of);
    if (then) track.end_with(then->at, then->acid_clock_h);
  }
  return track;
}

std::vector<WeighedReport> Fermentation::weighed(const Batch& batch, const MilkCourse& course,
                                                 const AirOf& air) const {
  std::vector<WeighedReport> reports;
  if (!known()) return reports;
  const ClockTrack track = track_to_reports(batch, course, air);
  PaceEvidence evidence;
  PaceBelief before = prior();
  for (std::size_t number = 0; number < report_count(batch); ++number) {
    if (report_at(batch, number) > track.ends_at()) break;
    weigh_report(evidence, batch, number, track);
    const PaceBelief after = prior().given(evidence);
    const auto opens = [&](const PaceBelief& pace) -> std::optional<InstantSpread> {
      const auto seen = forecast_with(pace, batch, course, air);
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

// By the curve and, without grains, by what the cold adds.
AcidState Fermentation::acid_with(const Condition& condition, const ByMeter& by_meter) const {
  AcidState acid = curve_->at(grown_h(condition) + by_meter.further_h);
  if (by_meter.more_g_per_l == 0.0 && !(condition.cold_clock_h > 0.0)) return acid;
  const double by_grains_g_per_l = std::max(0.0, acid.acid_g_per_l + by_meter.more_g_per_l);
  const ColdState kept =
      cold_state(curve_->buffering(), by_grains_g_per_l, condition.cold_days(), *parameters_);
  acid.acid_g_per_l = kept.acid_g_per_l;
  acid.ph = kept.ph;
  acid.acidity_percent = kept.acidity_percent;
  return acid;
}

// The place on the curve where it has this pH, less what the cold has added. Beyond the curve's
// ends, so much more or less acid.
Fermentation::ByMeter Fermentation::by_meter(const Condition& condition, double ph) const {
  const Buffering& milk = curve_->buffering();
  const double in_the_cold_g_per_l =
      cold_state(milk, 0.0, condition.cold_days(), *parameters_).acid_g_per_l;
  const double by_grains_g_per_l = milk.acid_g_per_l(ph) - in_the_cold_g_per_l;
  const double on_curve_ph = milk.ph(std::max(0.0, by_grains_g_per_l));
  const double clock_h = std::min(curve_->clock_h_at_ph(on_curve_ph), curve_->end_h());
  return {clock_h - grown_h(condition), by_grains_g_per_l - curve_->at(clock_h).acid_g_per_l};
}

// A meter's reading is weighed against what is computed by the doubt of both, one after the other.
// Of two readings that cannot both be true, the later is believed.
AcidState Fermentation::acid(const Condition& condition) const {
  ByMeter so_far;
  double doubt_ph = computed_sd_ph;
  Instant read_before = condition.at;
  for (const MeterReading& reading : meter_) {
    if (reading.then.at > condition.at) break;
    if (read_before < reading.then.at) {
      const double since_h = hours_between(read_before, reading.then.at);
      const double wandered_ph = wanders_ph_in_an_hour * std::sqrt(since_h);
      doubt_ph = std::min(computed_sd_ph, std::hypot(doubt_ph, wandered_ph));
    }
    const double computed_ph = acid_with(reading.then, so_far).ph;
    const double off_ph = reading.ph - computed_ph;
    if (std::abs(off_ph) > cannot_be_sds * std::hypot(doubt_ph, reading.error_ph)) {
      doubt_ph = std::abs(off_ph);
    }
    const double trust = 1.0 / (1.0 + square(reading.error_ph / doubt_ph));
    so_far = by_meter(reading.then, computed_ph + trust * off_ph);
    doubt_ph *= std::sqrt(1.0 - trust);
    read_before = reading.then.at;
  }
  return acid_with(condition, so_far);
}

}  // namespace wheymark
