#include "core/household/ferment.hpp"

#include <algorithm>

#include "core/basis/check.hpp"
#include "core/forecast/observation.hpp"
#include "core/kinetics/heat.hpp"

namespace wheymark {
namespace {

Brew brew_of(const Start& start) {
  return {*start.milk, *start.treatment, *start.milk_ml, *start.grain_g};
}

// Whether the grains are still in it, so that its signs can come.
bool has_grains_at(const Batch& batch, Instant instant) {
  return !batch.strained || instant < batch.strained->at;
}

// The stay in which the batch is at this instant; on the border, the later one.
std::size_t stay_at(const Batch& batch, Instant instant) {
  std::size_t i = batch.stays.size() - 1;
  while (i > 0 && batch.stays[i].from > instant) --i;
  return i;
}

}  // namespace

Ferment::Ferment(const Batch& batch, const Plan& plan, const PaceBelief& prior,
                 const Parameters& parameters)
    : plan_(&plan),
      parameters_(&parameters),
      started_(batch.started),
      milk_ml_(*batch.start.milk_ml),
      milk_at_start_(*batch.start.milk_c),
      curve_(AcidCurve::solved(brew_of(batch.start), parameters)),
      milestones_(wheymark::milestones(curve_, parameters)),
      prior_(prior),
      pace_(prior) {}

double Ferment::tau_of(const Stay& stay) const {
  const PlannedJar* jar = plan_->jar(stay.jar);
  const double capacity_ml = jar == nullptr ? milk_ml_ : std::max(jar->capacity_ml, milk_ml_);
  return jar_time_constant_h(milk_ml_, capacity_ml, *parameters_);
}

std::optional<Condition> Ferment::followed(Condition from, const Batch& batch, const AirOf& air,
                                           Instant until, ClockTrack* track) const {
  for (std::size_t i = stay_at(batch, from.at); from.at < until; ++i) {
    const Stay& stay = batch.stays[i];
    const bool is_last = i + 1 == batch.stays.size();
    const Instant end = is_last ? until : std::min(until, batch.stays[i + 1].from);
    const TemperatureHistory* history = air(stay.place);
    if (history == nullptr || !history->last()) return std::nullopt;
    const double tau_h = tau_of(stay);
    for (const RoomStretch& stretch : history->between(from.at, end)) {
      from = advanced(from, stretch, tau_h, *parameters_);
      if (track != nullptr && has_grains_at(batch, stretch.from)) {
        track->add(from.at, from.acid_clock_h);
      }
    }
  }
  return from;
}

Instant Ferment::settles_until(const Batch& batch, const AirOf& air) const {
  for (std::size_t i = stay_at(batch, settled_->at);; ++i) {
    const TemperatureHistory* history = air(batch.stays[i].place);
    const bool is_last = i + 1 == batch.stays.size();
    if (history == nullptr || !history->last()) return std::max(settled_->at, batch.stays[i].from);
    const Instant read = history->last()->at;
    if (is_last || read < batch.stays[i + 1].from) return std::max(settled_->at, read);
  }
}

void Ferment::follow(const Batch& batch, const AirOf& air) {
  if (!settled_) {
    const TemperatureHistory* first = air(batch.stays.front().place);
    if (first == nullptr || !first->last()) return;
    settled_ = at_start();
    track_.add(started_, 0.0);
  }
  const auto further = followed(*settled_, batch, air, settles_until(batch, air), &track_);
  if (further) settled_ = *further;
  weigh_observations(batch, air);
  look_ahead(batch, air);
}

std::optional<Condition> Ferment::at(const Batch& batch, const AirOf& air, Instant now) const {
  if (!settled_) return std::nullopt;
  const Condition from = now < settled_->at ? at_start() : *settled_;
  return followed(from, batch, air, now, nullptr);
}

Condition Ferment::at_start() const {
  return {started_, milk_at_start_, 0.0, 0.0};
}

void Ferment::weigh_observations(const Batch& batch, const AirOf& air) {
  if (batch.observations.empty()) return;
  pace_ = prior_;
  for (const Observation& seen : batch.observations) {
    if (batch.strained && seen.at > batch.strained->at) continue;
    double clock_h = track_.clock_h_at(seen.at);
    if (seen.at > settled_->at) {
      const auto then = at(batch, air, seen.at);
      if (!then) continue;
      clock_h = then->acid_clock_h;
    }
    if (const Sign* sign = std::get_if<Sign>(&seen.what)) {
      weigh_sign(pace_, *sign, clock_h, milestones_, *parameters_);
    } else {
      weigh_ph(pace_, std::get<double>(seen.what), clock_h, curve_, *parameters_);
    }
  }
}

void Ferment::look_ahead(const Batch& batch, const AirOf& air) {
  forecast_.reset();
  if (!batch.fermenting()) return;
  const Stay& stay = batch.stays.back();
  const TemperatureHistory* history = air(stay.place);
  if (history == nullptr || !history->last()) return;
  // From where it stands now; earlier stays whose readings are still out go on as last read.
  const auto now = followed(*settled_, batch, air, std::max(settled_->at, stay.from), nullptr);
  if (!now) return;
  forecast_ = wheymark::forecast(track_, *now, AirAhead{history->last()->air}, tau_of(stay), pace_,
                                 milestones_, *parameters_);
}

double Ferment::grown_h(const Condition& condition) const {
  return pace_.quantile(0.5) * condition.acid_clock_h;
}

AcidState Ferment::acid(const Condition& condition) const {
  return curve_.at(grown_h(condition));
}

bool Ferment::has_gone_beyond(Instant instant) const {
  return settled_ && settled_->at > instant;
}

}  // namespace wheymark
