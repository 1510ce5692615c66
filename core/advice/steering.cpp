#include "core/advice/steering.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "core/advice/feeding_usual.hpp"
#include "core/basis/limits.hpp"
#include "core/household/jar_state.hpp"
#include "core/household/not_souring.hpp"
#include "core/household/suspect_words.hpp"
#include "core/kinetics/heat.hpp"
#include "core/kinetics/signs_by_load.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

using std::chrono::minutes;

constexpr minutes steps_every{30};
constexpr std::chrono::hours steps_within{24};
constexpr std::chrono::hours cooled_max{16};
constexpr std::size_t rooms_max = 8;

// What a step must gain, as a chance; and each hour by which the peak comes later or earlier.
constexpr double cost_of_a_move = 0.04;
constexpr double cost_of_cooling = 0.06;
constexpr double cost_of_an_hour_later = 0.004;

class Steering {
 public:
  Steering(const PlanRequest& request, const Household& household, const Batch& batch,
           const Fermentation& fermentation, const Condition& condition)
      : household_(household),
        setup_(household.setup()),
        batch_(batch),
        fermentation_(fermentation),
        now_(condition),
        peak_(PeakToCome::believed(fermentation.pace(), fermentation.reference_milestones(),
                                   household.parameters())),
        rates_(household.rates()) {
    advice_.jar = batch.jar();
    advice_.culture = *batch.start.culture;
    advice_.ready_by = request.ready_by;
    // An hour that was given at its start holds as well, as long as it is still to come.
    if (!advice_.ready_by && batch.start.ready_by > now_.at) {
      advice_.ready_by = batch.start.ready_by;
    }
    attended_ = attended_for(advice_.ready_by, now_.at, setup_);
  }

  SteeringAdvice advised() {
    advice_.left = forecast_of({Remedy::leave, {}, {}, batch_.place(), {}, {}, 0.0});
    if (at_its_peak()) {
      Way strain = advice_.left;
      strain.step = Remedy::strain;
      advice_.best = {strain};
      return std::move(advice_);
    }
    find_other_places();
    std::vector<Way> ways{advice_.left};
    for (const Instant at : hours_to_step()) {
      for (const PlaceSetup* room : rooms_) {
        ways.push_back(with_chance({Remedy::move, at, {}, room->id, {}, {}, 0.0}));
      }
      if (fridge_ == nullptr) continue;
      for (const Instant until : hours_until(at)) {
        ways.push_back(with_chance({Remedy::cool, at, until, fridge_->id, {}, {}, 0.0}));
      }
    }
    advice_.ways = ways.size();
    choose(std::move(ways));
    return std::move(advice_);
  }

 private:
  // Seen there, or more likely there than not.
  [[nodiscard]] bool at_its_peak() const {
    if (latest_seen(batch_) >= Sign::whey_pockets) return true;
    return advice_.left.opens.p50 && *advice_.left.opens.p50 <= now_.at;
  }

  [[nodiscard]] bool is_known(const PlaceSetup& place) const {
    const PlaceAir* air = household_.places().air(place.id);
    return air != nullptr && air->history().last() &&
           household_.places().thermometer(place.id).status(now_.at) == ThermometerStatus::good;
  }

  void find_other_places() {
    for (const PlaceSetup& place : setup_.places) {
      if (place.id == batch_.place()) continue;
      if (!is_known(place)) {
        advice_.left_out.push_back({place.id, place.has_thermometer
                                                  ? "its thermometer is not to be believed now"
                                                  : "it has no thermometer"});
      } else if (place.kind == PlaceKind::fridge) {
        if (fridge_ == nullptr) fridge_ = &place;
      } else if (rooms_.size() < rooms_max) {
        rooms_.push_back(&place);
      }
    }
  }

  // Now, and each waking half hour before the peak is likely to be over.
  [[nodiscard]] std::vector<Instant> hours_to_step() const {
    std::vector<Instant> at{now_.at};
    const Instant end =
        std::min(now_.at + steps_within, advice_.left.closes.p50.value_or(Instant::max()));
    const auto first = std::chrono::ceil<minutes>(now_.at + minutes{5});
    for (Instant when = next_half_hour(first); when < end; when += steps_every) {
      if (awake_at(when, setup_)) at.push_back(when);
    }
    return at;
  }

  // Out of the fridge again: from an hour later on, at waking hours, on the hour.
  [[nodiscard]] std::vector<Instant> hours_until(Instant at) const {
    std::vector<Instant> until;
    for (Instant when = next_half_hour(at + std::chrono::hours{1}); when <= at + cooled_max;
         when += std::chrono::hours{1}) {
      if (awake_at(when, setup_)) until.push_back(when);
    }
    return until;
  }

  [[nodiscard]] Instant next_half_hour(Instant after) const {
    const auto local = after + setup_.utc_offset(after);
    const auto since = local.time_since_epoch() % steps_every;
    return since.count() == 0 ? after : after + (Milliseconds(steps_every) - since);
  }

  [[nodiscard]] StayAhead stay(Instant from, const PlaceId& place) const {
    const PlaceAir& air = *household_.places().air(place);
    const JarSetup* jar = setup_.jar(batch_.jar());
    const double milk_ml = *batch_.start.milk_ml;
    const double capacity_ml = jar == nullptr ? milk_ml : std::max(jar->capacity_ml, milk_ml);
    return {from, air.ahead(setup_),
            jar_time_constant_h(milk_ml, capacity_ml, household_.parameters())};
  }

  [[nodiscard]] ClockAhead clock_of(const Way& way) const {
    std::vector<StayAhead> stays{stay(now_.at, batch_.place())};
    if (way.at) stays.push_back(stay(*way.at, way.place));
    if (way.until) stays.push_back(stay(*way.until, batch_.place()));
    return {now_, stays, rates_, enough_clock_h(fermentation_.pace(), peak_.milestones)};
  }

  [[nodiscard]] double chance_of(const ClockAhead& clock) const {
    return chance_in_time(peak_, clock, attended_);
  }

  [[nodiscard]] Way with_chance(Way way) const {
    const ClockAhead clock = clock_of(way);
    way.chance = chance_of(clock);
    const Chances opens(clock, peak_.opening_paces, peak_.milestones.peak_opens_h);
    way.opens.p50 = opens.instant_of(0.5);
    return way;
  }

  [[nodiscard]] Way forecast_of(Way way) const {
    const ClockAhead clock = clock_of(way);
    const Forecast seen = wheymark::forecast(fermentation_.track(), clock, fermentation_.pace(),
                                             peak_.milestones, household_.parameters());
    way.opens = seen.peak_opens;
    way.closes = seen.peak_closes;
    way.chance = chance_of(clock);
    return way;
  }

  [[nodiscard]] double worth(const Way& way) const {
    double worth = way.chance;
    if (way.step == Remedy::move) worth -= cost_of_a_move;
    if (way.step == Remedy::cool) worth -= cost_of_cooling;
    // The same step sooner or later is equivalent: prefer the one that shifts the expected peak
    // least.
    if (way.opens.p50 && advice_.left.opens.p50) {
      worth -=
          cost_of_an_hour_later * std::abs(hours_between(*advice_.left.opens.p50, *way.opens.p50));
    }
    return worth;
  }

  static bool clearly_differ(const Way& a, const Way& b) {
    if (a.step != b.step || a.place != b.place) return true;
    return a.at && b.at && std::chrono::abs(*a.at - *b.at) >= std::chrono::hours{3};
  }

  void choose(std::vector<Way> ways) {
    std::stable_sort(ways.begin(), ways.end(),
                     [&](const Way& a, const Way& b) { return worth(a) > worth(b); });
    for (const Way& way : best_that_differ(ways, clearly_differ)) {
      advice_.best.push_back(forecast_of(way));
    }
  }

  const Household& household_;
  const HouseholdSetup& setup_;
  const Batch& batch_;
  const Fermentation& fermentation_;
  Condition now_;
  PeakToCome peak_;
  const RateTable& rates_;
  std::vector<Attended> attended_;
  std::vector<const PlaceSetup*> rooms_;  // others that are known
  const PlaceSetup* fridge_ = nullptr;
  SteeringAdvice advice_{};
};

}  // namespace

Result<SteeringAdvice> advise_steering(const PlanRequest& request, const Household& household,
                                       Instant now) {
  const HouseholdSetup& setup = household.setup();
  if (const Outcome hour = ready_by_in_range(request.ready_by, now, setup); !hour) {
    return hour.refusal();
  }
  const auto jar = jar_requested(request, household);
  if (!jar) return jar.refusal();
  const Batch* batch = household.book().in_jar(jar.value()->id);
  if (batch == nullptr || !batch->fermenting()) {
    return Refusal{fmt::format("{} holds no batch with its grains; ask about \"feeding\" instead",
                               jar.value()->name)};
  }
  if (const Suspicion* why = household.book().suspicion(*batch)) {
    return Refusal{suspect_text(batch->jar(), *why, household.book(), setup)};
  }
  if (not_souring(household, *batch)) {
    return Refusal{
        fmt::format("{} was not sour after a day in the warm, so nothing is planned with it: {}",
                    jar.value()->name, plain_milk_text)};
  }
  const Fermentation* fermentation = household.fermentation(*batch);
  const auto condition = household.condition(*batch, now);
  if (fermentation == nullptr || !condition || !fermentation->forecast() ||
      !std::isfinite(fermentation->reference_milestones().peak_closes_h)) {
    return Refusal{
        fmt::format("{}: no thermometer has been read where it stands ({}), so nothing "
                    "can be forecast",
                    jar.value()->name, name_of_place(batch->place(), setup))};
  }
  return Steering(request, household, *batch, *fermentation, *condition).advised();
}

}  // namespace wheymark
