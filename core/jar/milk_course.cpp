#include "core/jar/milk_course.hpp"

#include <algorithm>
#include <limits>

#include "core/jar/vessel.hpp"
#include "core/kinetics/cold_storage.hpp"

namespace wheymark {
namespace {

Celsius usual_air(const PlaceId& id, const HouseholdSetup& setup) {
  const PlaceSetup* place = setup.place(id);
  const bool fridge = place == nullptr || place->kind == PlaceKind::fridge;
  return Celsius(fridge ? cold_reference_c : room_without_readings_c);
}

}  // namespace

Instant grains_out(const Batch& batch) {
  if (batch.strained) return batch.strained->at;
  return batch.ended ? batch.ended->at : Instant::max();
}

MilkCourse::MilkCourse(const Batch& batch, const HouseholdSetup& setup,
                       const Parameters& parameters)
    : setup_(&setup),
      parameters_(&parameters),
      started_(batch.started),
      milk_ml_(*batch.start.milk_ml),
      milk_at_start_(*batch.start.milk_c) {}

double MilkCourse::tau_h(const Stay& stay) const {
  return time_constant_h(*setup_, stay.jar, milk_ml_, *parameters_);
}

AirWithoutReadings MilkCourse::otherwise(const Batch& batch) const {
  if (!batch.strained) return wait_for_readings;
  return [this](const PlaceId& place) { return std::optional(usual_air(place, *setup_)); };
}

bool MilkCourse::begin(const Batch& batch, const AirOf& air) {
  if (settled_) return true;
  if (!batch.strained && readings_of(batch.stays.front().place, air) == nullptr) return false;
  settled_ = Condition{started_, milk_at_start_, 0.0, 0.0};
  return true;
}

// How far the grains came in air that nobody measured is not made up.
Condition MilkCourse::after(const Condition& from, const Step& step) const {
  Condition to = advanced(from, step.stretch, step.tau_h, *parameters_, step.grains);
  if (step.grains == GrainsAre::in && !step.air_is_known) {
    to.acid_clock_h = to.gas_clock_h = std::numeric_limits<double>::quiet_NaN();
  }
  return to;
}

template <class EachStep>
Condition MilkCourse::walked(const Batch& batch, const AirOf& air, Condition from, Instant until,
                             EachStep each_step) const {
  const Instant out = grains_out(batch);
  const Stay* stays_at = nullptr;
  Step step{{from.at, from.at, from.milk, from.milk}, 0.0, GrainsAre::in, false};
  const auto take = [&](const RoomStretch& stretch, GrainsAre grains) {
    step.stretch = stretch;
    step.grains = grains;
    const Condition to = after(from, step);
    each_step(from, to, step);
    from = to;
  };
  walk(batch, air, otherwise(batch), from.at, until,
       [&](const RoomStretch& stretch, const Stay& stay) {
         if (stays_at != &stay) {
           stays_at = &stay;
           step.tau_h = tau_h(stay);
           step.air_is_known = readings_of(stay.place, air) != nullptr;
         }
         if (stretch.to <= out) return take(stretch, GrainsAre::in);
         if (stretch.from >= out) return take(stretch, GrainsAre::out);
         const Celsius at_out = air_in(stretch, out);
         take({stretch.from, out, stretch.at_from, at_out}, GrainsAre::in);
         take({out, stretch.to, at_out, stretch.at_to}, GrainsAre::out);
       });
  return from;
}

void MilkCourse::note(const Batch& batch, const Condition& from, const Step& step) {
  const auto asked_for = [&](Instant instant) {
    if (instant < step.stretch.from || instant > step.stretch.to) return;
    Step part = step;
    part.stretch.to = instant;
    part.stretch.at_to = air_in(step.stretch, instant);
    noted_.insert_or_assign(instant, after(from, part));
  };
  asked_for(batch.lid_since);
  for (const Sweetened& sweetened : batch.sweetened) asked_for(sweetened.at);
  if (!batch.stored.empty()) asked_for(batch.stored.front().at);
  for (auto seen = batch.observations.rbegin();
       seen != batch.observations.rend() && seen->at >= step.stretch.from; ++seen) {
    if (std::holds_alternative<double>(seen->what)) asked_for(seen->at);
  }
}

void MilkCourse::follow(const Batch& batch, const AirOf& air, const OnStep& on_step) {
  if (!begin(batch, air)) return;
  const Instant until = walk_settles_at(batch, air, otherwise(batch), settled_->at);
  for (std::size_t i = batch.stay_at(settled_->at); i < batch.stays.size(); ++i) {
    const Stay& stay = batch.stays[i];
    if (stay.from < until && readings_of(stay.place, air) == nullptr) assumed_.insert(stay.place);
  }
  walked(batch, air, *settled_, until,
         [&](const Condition& from, const Condition& to, const Step& step) {
           note(batch, from, step);
           settled_ = to;
           on_step(from, to);
         });
}

std::optional<Condition> MilkCourse::at(const Batch& batch, const AirOf& air,
                                        Instant instant) const {
  if (!settled_) return std::nullopt;
  const auto noted = noted_.find(instant);
  if (noted != noted_.end()) return noted->second;
  const Condition from =
      instant < settled_->at ? Condition{started_, milk_at_start_, 0.0, 0.0} : *settled_;
  const Condition then =
      walked(batch, air, from, instant, [](const Condition&, const Condition&, const Step&) {});
  if (then.at < instant) return std::nullopt;
  return then;
}

bool MilkCourse::lacked(const AirOf& air) const {
  return std::any_of(assumed_.begin(), assumed_.end(),
                     [&](const PlaceId& place) { return readings_of(place, air) != nullptr; });
}

}  // namespace wheymark
