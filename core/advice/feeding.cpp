#include "core/advice/feeding.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "core/advice/feeding_usual.hpp"
#include "core/basis/limits.hpp"
#include "core/forecast/in_time.hpp"
#include "core/kinetics/heat.hpp"
#include "core/kinetics/signs_by_load.hpp"
#include "core/record/headspace.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

using std::chrono::minutes;

// People feed on the half hour; where that makes too many combinations, on the hour or every two.
constexpr minutes starts_every{30};
constexpr std::chrono::hours start_within{36};
constexpr std::chrono::hours start_before_ready_max{48};
constexpr std::size_t propagations_max = 800;  // some ten milliseconds
constexpr std::size_t places_max = 12;

constexpr std::array grain_factors{0.5, 0.67, 0.8, 1.25, 1.5, 2.0};
constexpr std::array milk_factors{0.55, 0.7, 0.85, 1.15, 1.3};
// Where the computation holds (core/README.md).
constexpr double load_g_per_ml_min = 0.004;
constexpr double load_g_per_ml_max = 0.12;

// What a change from the usual must gain, as a chance.
constexpr double cost_of_a_place = 0.03;
constexpr double cost_of_an_amount = 0.02;
constexpr double cost_of_an_amount_a_fold = 0.03;  // each factor of e
constexpr double cost_of_waiting_an_hour = 0.004;

// Amounts that can be measured in a kitchen.
double weighable_g(double grain_g) {
  return grain_g >= 10.0 ? std::round(grain_g) : std::round(2.0 * grain_g) / 2.0;
}
double measurable_ml(double milk_ml) {
  const double cup_ml = milk_ml >= 400.0 ? 50.0 : 10.0;
  return std::round(milk_ml / cup_ml) * cup_ml;
}

class Search {
 public:
  Search(const PlanRequest& request, const Household& household, const FeedingUsual& meant,
         Instant now)
      : request_(request),
        household_(household),
        setup_(household.setup()),
        parameters_(household.parameters()),
        now_(now),
        usual_(meant.usual),
        jar_(*setup_.jar(usual_.jar)),
        pace_(household.pace_of_next_batch(*usual_.culture, meant.earliest)),
        rates_(household.rates()) {
    advice_.jar = jar_.id;
    advice_.culture = *usual_.culture;
    advice_.ready_by = request.ready_by;
    advice_.earliest = meant.earliest;
    advice_.grains_come_out_of = meant.grains_come_out_of;
    advice_.grain_g_there = meant.grain_g_there;
    advice_.milk_c = *usual_.milk_c;
    advice_.attended = attended_for(request.ready_by, now, setup_);
    advice_.batches_learned_from = household.paces().batches(*usual_.culture);
  }

  Result<FeedingAdvice> searched() {
    const std::vector<PlaceId> places = places_to_try();
    if (places.empty()) {
      return Refusal{fmt::format(
          "no thermometer has been read in {}{}, so nothing can be forecast",
          name_of_place(*usual_.place, setup_),
          request_.may_vary(Varied::place) ? " or in another room" : "; let the place vary")};
    }
    // The usual place may not be among them; then the first of them stands for it.
    usual_.place = places.front();
    const std::vector<double> grains = grains_to_try();
    const std::vector<double> milks = milks_to_try();
    const std::vector<Instant> starts = starts_to_try(places.size() * milks.size());
    signs_.emplace(*usual_.milk, *usual_.treatment, grains.front() / milks.back(),
                   grains.back() / milks.front(), parameters_);
    std::vector<Feeding> feedings;
    for (const double milk_ml : milks) {
      for (const PlaceId& place : places) {
        const std::vector<Load> loads = loads_of(grains, milk_ml, place);
        if (loads.empty()) continue;
        for (const Instant start : starts) add_feedings(feedings, start, place, milk_ml, loads);
      }
    }
    advice_.combinations = feedings.size();
    advice_.usual = feeding_of(advice_.earliest, *usual_.grain_g, *usual_.milk_ml, *usual_.place);
    choose(std::move(feedings));
    return std::move(advice_);
  }

 private:
  // Some grains in one volume of milk.
  struct Load {
    double grain_g;
    PaceBelief pace;
    PeakToCome peak;
  };

  // The usual one first, if its air is known.
  std::vector<PlaceId> places_to_try() {
    std::vector<PlaceId> places;
    const auto look_at = [&](const PlaceSetup& place, bool is_usual) {
      const PlaceAir* air = household_.places().air(place.id);
      const ThermometerStatus status = household_.places().thermometer(place.id).status(now_);
      if (air == nullptr || !air->history().last()) {
        advice_.left_out.push_back({place.id, place.has_thermometer
                                                  ? "its thermometer has never been read"
                                                  : "it has no thermometer"});
      } else if (status != ThermometerStatus::good && !is_usual) {
        advice_.left_out.push_back({place.id, fmt::format("its thermometer is {}", word(status))});
      } else {
        places.push_back(place.id);
        if (status == ThermometerStatus::good) return;
        advice_.doubt = fmt::format(
            "{}'s thermometer is {} since {}: this rests on what was usual there before",
            place.name, word(status), near_clock_text(air->history().last()->at, now_, setup_));
      }
    };
    look_at(*setup_.place(*usual_.place), true);
    if (!request_.may_vary(Varied::place)) return places;
    for (const PlaceSetup& place : setup_.places) {
      const bool another_room = place.kind == PlaceKind::room && place.id != *usual_.place;
      if (another_room && places.size() < places_max) look_at(place, false);
    }
    return places;
  }

  // In ascending order.
  [[nodiscard]] std::vector<double> grains_to_try() const {
    std::vector<double> grains{*usual_.grain_g};
    const auto fits = [&](double grain_g) {
      return grain_g >= limits::grain_g_min && grain_g <= limits::grain_g_max &&
             grain_g <= advice_.grain_g_there;
    };
    if (request_.may_vary(Varied::grain)) {
      for (const double factor : grain_factors) {
        const double grain_g = weighable_g(factor * *usual_.grain_g);
        if (fits(grain_g)) grains.push_back(grain_g);
      }
    }
    std::sort(grains.begin(), grains.end());
    grains.erase(std::unique(grains.begin(), grains.end()), grains.end());
    return grains;
  }

  [[nodiscard]] std::vector<double> milks_to_try() const {
    std::vector<double> milks{*usual_.milk_ml};
    const auto fits = [&](double milk_ml) {
      return milk_ml >= limits::milk_ml_min && milk_ml <= limits::milk_ml_max &&
             headspace_cm(milk_ml, jar_.capacity_ml) >= headspace_cm_told_below;
    };
    if (request_.may_vary(Varied::milk)) {
      for (const double factor : milk_factors) {
        const double milk_ml = measurable_ml(factor * *usual_.milk_ml);
        if (fits(milk_ml)) milks.push_back(milk_ml);
      }
    }
    std::sort(milks.begin(), milks.end());
    milks.erase(std::unique(milks.begin(), milks.end()), milks.end());
    return milks;
  }

  [[nodiscard]] std::vector<Instant> starts_to_try(std::size_t propagations_each) const {
    std::vector<Instant> starts{advice_.earliest};
    if (!request_.may_vary(Varied::start)) return starts;
    Instant from = advice_.earliest;
    Instant until = from + start_within;
    if (request_.ready_by) {
      from = std::max(from, *request_.ready_by - start_before_ready_max);
      until = *request_.ready_by;
    }
    minutes every = starts_every;
    while (propagations_each * static_cast<std::size_t>((until - from) / every) >
               propagations_max &&
           every < std::chrono::hours{4}) {
      every *= 2;
    }
    const auto local = from + setup_.utc_offset(from);
    const auto whole = std::chrono::floor<std::chrono::hours>(local) - local;
    for (Instant start = from + whole; start <= until; start += every) {
      if (start > advice_.earliest && awake_at(start, setup_)) starts.push_back(start);
    }
    return starts;
  }

  [[nodiscard]] double level_c(const PlaceId& place) const {
    const PlaceAir& air = *household_.places().air(place);
    return air.ahead(setup_).level.degrees();
  }

  // What is believed of the pace of such a feeding. It was learned from usual feedings: how the
  // same grains do with another load, in another room or a whole day ahead is the model's word.
  [[nodiscard]] PaceBelief pace_with(double load, const PlaceId& place) const {
    const double folds = std::log(load * *usual_.milk_ml / *usual_.grain_g);
    const double kelvin = level_c(place) - level_c(*usual_.place);
    return pace_.less_sure(std::hypot(parameters_.not_begun_log_sd,
                                      parameters_.another_load_log_sd * folds,
                                      parameters_.another_room_log_sd_a_k * kelvin));
  }

  [[nodiscard]] std::vector<Load> loads_of(const std::vector<double>& grains, double milk_ml,
                                           const PlaceId& place) const {
    std::vector<Load> loads;
    for (const double grain_g : grains) {
      const double load = grain_g / milk_ml;
      const bool is_usual = grain_g == *usual_.grain_g && milk_ml == *usual_.milk_ml;
      if (!is_usual && (load < load_g_per_ml_min || load > load_g_per_ml_max)) continue;
      const Milestones milestones = signs_->at(load);
      if (!std::isfinite(milestones.peak_closes_h)) continue;
      const PaceBelief pace = pace_with(load, place);
      loads.push_back({grain_g, pace, PeakToCome::believed(pace, milestones, parameters_)});
    }
    return loads;
  }

  // The clock of a jar that is started then and there, until the slowest of the loads has closed.
  [[nodiscard]] ClockAhead clock_of(Instant start, const PlaceId& place, double milk_ml,
                                    const Load& slowest) const {
    const PlaceAir& air = *household_.places().air(place);
    const double tau_h =
        jar_time_constant_h(milk_ml, std::max(milk_ml, jar_.capacity_ml), parameters_);
    const StayAhead stay{start, air.ahead(setup_), tau_h};
    const Condition cold{start, Celsius(*usual_.milk_c), 0.0, 0.0};
    return {cold, std::span(&stay, 1), rates_,
            enough_clock_h(slowest.pace, slowest.peak.milestones)};
  }

  [[nodiscard]] double chance_of(const ClockAhead& clock, const Load& load) const {
    return chance_in_time(load.peak, clock, advice_.attended);
  }

  void add_feedings(std::vector<Feeding>& feedings, Instant start, const PlaceId& place,
                    double milk_ml, const std::vector<Load>& loads) const {
    const ClockAhead clock = clock_of(start, place, milk_ml, loads.front());
    for (const Load& load : loads) {
      feedings.push_back({start, load.grain_g, milk_ml, place, {}, {}, chance_of(clock, load)});
    }
  }

  [[nodiscard]] Feeding feeding_of(Instant start, double grain_g, double milk_ml,
                                   const PlaceId& place) const {
    const std::vector<Load> loads = loads_of({grain_g}, milk_ml, place);
    Feeding feeding{start, grain_g, milk_ml, place, {}, {}, 0.0};
    if (loads.empty()) return feeding;
    const ClockAhead clock = clock_of(start, place, milk_ml, loads.front());
    const Forecast seen = forecast(ClockTrack(), clock, loads.front().pace,
                                   loads.front().peak.milestones, parameters_);
    feeding.opens = seen.peak_opens;
    feeding.closes = seen.peak_closes;
    feeding.chance = chance_of(clock, loads.front());
    return feeding;
  }

  // The chance less what the changes cost.
  [[nodiscard]] double worth(const Feeding& feeding) const {
    const auto cost_of = [](double amount, double usual) {
      if (amount == usual) return 0.0;
      return cost_of_an_amount + cost_of_an_amount_a_fold * std::abs(std::log(amount / usual));
    };
    double worth = feeding.chance - cost_of(feeding.grain_g, *usual_.grain_g) -
                   cost_of(feeding.milk_ml, *usual_.milk_ml);
    if (feeding.place != *usual_.place) worth -= cost_of_a_place;
    if (!request_.ready_by) {
      worth -= cost_of_waiting_an_hour * hours_between(advice_.earliest, feeding.start);
    }
    return worth;
  }

  static bool clearly_differ(const Feeding& a, const Feeding& b) {
    const auto apart = [](double x, double y, double factor) {
      return std::max(x, y) > factor * std::min(x, y);
    };
    return a.place != b.place || std::chrono::abs(a.start - b.start) >= std::chrono::hours{3} ||
           apart(a.grain_g, b.grain_g, 1.4) || apart(a.milk_ml, b.milk_ml, 1.25);
  }

  void choose(std::vector<Feeding> feedings) {
    std::stable_sort(feedings.begin(), feedings.end(),
                     [&](const Feeding& a, const Feeding& b) { return worth(a) > worth(b); });
    for (const Feeding& feeding : best_that_differ(feedings, clearly_differ)) {
      advice_.best.push_back(
          feeding_of(feeding.start, feeding.grain_g, feeding.milk_ml, feeding.place));
    }
  }

  const PlanRequest& request_;
  const Household& household_;
  const HouseholdSetup& setup_;
  const Parameters& parameters_;
  Instant now_;
  Start usual_;
  const JarSetup& jar_;
  PaceBelief pace_;
  const RateTable& rates_;
  std::optional<SignsByLoad> signs_;
  FeedingAdvice advice_{};
};

}  // namespace

Result<FeedingAdvice> advise_feeding(const PlanRequest& request, const Household& household,
                                     Instant now) {
  return advise_feeding(request, household, household.book(), now);
}

Result<FeedingAdvice> advise_feeding(const PlanRequest& request, const Household& household,
                                     const JarBook& book, Instant now) {
  if (const Outcome hour = ready_by_in_range(request.ready_by, now, household.setup()); !hour) {
    return hour.refusal();
  }
  const auto meant = feeding_usual(request, household, book, now);
  if (!meant) return meant.refusal();
  if (request.ready_by && meant.value().earliest >= *request.ready_by) {
    return Refusal{fmt::format("ready_by is {}, but nothing can be fed before {}",
                               day_and_clock_text(*request.ready_by, household.setup()),
                               day_and_clock_text(meant.value().earliest, household.setup()))};
  }
  return Search(request, household, meant.value(), now).searched();
}

}  // namespace wheymark
