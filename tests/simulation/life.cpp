#include "tests/simulation/life.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "core/advice/feeding.hpp"
#include "core/advice/steering.hpp"
#include "tests/core/home.hpp"

namespace wheymark::simulation {
namespace {

using std::chrono::minutes;

constexpr double wakes_h = 7.0;
constexpr double sleeps_h = 22.5;
constexpr double nothing_said = 9.9;  // an error and a width that no mean hides

double hour_of_day(Instant instant) {
  return hours_between(std::chrono::floor<std::chrono::days>(instant), instant);
}

bool awake(Instant instant) {
  return hour_of_day(instant) >= wakes_h && hour_of_day(instant) < sleeps_h;
}

// The same instant when awake, else some time after the next waking.
Instant when_awake(Instant instant, Dice& dice) {
  if (awake(instant)) return instant;
  Instant morning = std::chrono::floor<std::chrono::days>(instant) + std::chrono::hours{7};
  if (hour_of_day(instant) >= sleeps_h) morning += std::chrono::hours{24};
  return after_hours(morning, dice.waiting(0.4));
}

constexpr std::size_t learns_from = 4;

HouseholdSetup setup_of_one_jar(bool with_pantry) {
  HouseholdSetup setup;
  setup.home_name = "Simulated";
  setup.places = {{"kitchen", "Kitchen", PlaceKind::room, true, minutes{45}},
                  {"fridge", "Fridge", PlaceKind::fridge, with_pantry, minutes{45}}};
  if (with_pantry) {
    setup.places.push_back({"pantry", "Pantry", PlaceKind::room, true, minutes{45}});
  }
  setup.cultures = {{"grains", "Grains", 20.0}};
  JarSetup jar;
  jar.id = "blue";
  jar.name = "Blue jar";
  jar.capacity_ml = 1250.0;
  jar.place = "kitchen";
  jar.culture = "grains";
  jar.milk = MilkKind::cow_whole;
  setup.jars = {jar};
  return setup;
}

// This person's habits.
struct Person {
  double look_every_h;
  double says_a_step;  // the chance to report that it has thickened or set
  double says_pockets;
  double says_verdict;
  double mistaken;
  bool has_ph_meter;
  double ph_bias;

  static Person drawn(Dice& dice) {
    return {
        dice.even(0.5, 2.5), dice.even(0.2, 0.9),   dice.even(0.6, 1.0), dice.even(0.3, 0.9), 0.03,
        dice.happens(0.25),  dice.normal(0.0, 0.04)};
  }
};

class Life {
 public:
  Life(std::uint64_t seed, const Rooms& rooms, bool with_pantry = false)
      : dice_(seed),
        pantry_dice_(seed + 10'000),
        with_pantry_(with_pantry),
        grains_(TrueGrains::drawn(dice_)),
        person_(Person::drawn(dice_)),
        home_(setup_of_one_jar(with_pantry)) {
    const auto which = static_cast<std::size_t>(dice_.even(0.0, 3.0)) == 0 ? 1U : 0U;
    const RecordedRoom& record = rooms.recorded[which];
    const double from_day = std::floor(dice_.even(0.0, record.length_h() / 24.0));
    room_ = {&record, first_midnight, 24.0 * from_day, dice_.normal(-1.0, 1.5)};
    pantry_ = {&record, first_midnight, 24.0 * from_day + 24.0, room_.warmer_k - pantry_colder_k};
    read_every_ = minutes{5 * static_cast<int>(dice_.even(1.0, 4.0))};
    thermometer_offset_k_ = dice_.normal(0.0, 0.3);
    home_.announcer.listen_from(first_midnight);
    now_ = first_midnight + minutes{10};
    read();
  }

  LifeStory lived(std::size_t batches, const Change& change, double swing_k) {
    room_.swing_k = swing_k;
    for (std::size_t batch = 0; batch < batches; ++batch) {
      if (batch == change.from_batch) speed_ *= change.speed_factor;
      live_a_batch(batch);
    }
    return story_;
  }

  std::vector<Advised> advised(std::size_t batches) {
    for (std::size_t batch = 0; batch < learns_from; ++batch) live_a_batch(batch);
    std::vector<Advised> all;
    for (std::size_t batch = 0; batch < batches; ++batch) all.push_back(live_as_advised(batch));
    return all;
  }

  std::vector<Steered> steered(std::size_t batches) {
    for (std::size_t batch = 0; batch < learns_from; ++batch) live_a_batch(batch);
    std::vector<Steered> all;
    for (std::size_t batch = 0; batch < batches; ++batch) live_as_steered(batch, all);
    return all;
  }

 private:
  // The peak of this batch is open at a time at which somebody can strain.
  static bool in_time(const TrueBatch& truth, const std::vector<Attended>& attended) {
    return std::any_of(attended.begin(), attended.end(), [&](const Attended& there) {
      return truth.opens <= there.until && truth.closes > there.from;
    });
  }

  Advised live_as_advised(std::size_t number) {
    wait_until(when_awake(after_hours(now_, dice_.waiting(1.5)), dice_));
    speed_ *= std::exp(dice_.normal(0.0, grains_.drift_log_sd));
    const double speed = speed_ * std::exp(dice_.normal(0.0, grains_.batch_log_sd));
    const double milk_c = dice_.normal(6.0, 1.5);
    PlanRequest request;
    request.jar = "blue";
    const bool for_an_hour = number % 2 == 0;
    // Some hour of the next day, from breakfast on.
    const Instant tomorrow = std::chrono::floor<std::chrono::days>(now_) + std::chrono::hours{24};
    if (for_an_hour) request.ready_by = after_hours(tomorrow, std::floor(dice_.even(7.0, 22.0)));
    const auto asked = advise_feeding(request, household_, now_);
    if (!asked) throw std::runtime_error(asked.why());
    const FeedingAdvice& advice = asked.value();
    const Feeding& best = advice.best.front();
    const TrueBatch as_usual = fermented(grains_, speed, advice.usual.grain_g, advice.usual.milk_ml,
                                         milk_c, room_, now_, pantry_dice_);
    wait_until(best.start);
    const TrueBatch truth = fermented(grains_, speed, best.grain_g, best.milk_ml, milk_c,
                                      best.place == "pantry" ? pantry_ : room_, now_, pantry_dice_);
    Start start;
    start.jar = "blue";
    start.grain_g = best.grain_g;
    start.milk_ml = best.milk_ml;
    start.place = best.place;
    say(start);
    ask_early_at_ = Instant::min();
    seen_ = Sign::still_milk;
    while (!looks(truth, number)) {
    }
    const bool covered = best.opens.p10 && best.opens.p90 && *best.opens.p10 <= truth.opens &&
                         truth.opens <= *best.opens.p90;
    return {
        for_an_hour,
        best.chance,
        in_time(truth, advice.attended),
        truth.opens > advice.attended.back().until,
        covered,
        best.opens.p50 && best.closes.p50 ? hours_between(*best.opens.p50, *best.closes.p50) : 0.0,
        hours_between(truth.opens, truth.closes),
        advice.usual.chance,
        in_time(as_usual, advice.attended)};
  }

  // Feeds as usual; asks once in the evening.
  void live_as_steered(std::size_t number, std::vector<Steered>& all) {
    wait_until(when_awake(after_hours(now_, dice_.waiting(1.5)), dice_));
    speed_ *= std::exp(dice_.normal(0.0, grains_.drift_log_sd));
    const double speed = speed_ * std::exp(dice_.normal(0.0, grains_.batch_log_sd));
    const double milk_c = dice_.normal(6.0, 1.5);
    const Instant started = now_;
    // The same batch, whatever is done with it.
    const Dice of_the_batch = pantry_dice_;
    pantry_dice_.normal(0.0, 1.0);
    const auto ferments = [&](const AirThen& air) {
      Dice dice = of_the_batch;
      return fermented(grains_, speed, 20.0, 950.0, milk_c, air, started, dice);
    };
    const TrueBatch left = ferments(room_);
    TrueBatch truth = left;
    Start start;
    start.jar = "blue";
    start.grain_g = 20.0;
    start.milk_ml = 950.0;
    say(start);
    ask_early_at_ = Instant::min();
    seen_ = Sign::still_milk;
    Instant evening = after_hours(std::chrono::floor<std::chrono::days>(now_), asks_at_h);
    if (evening <= after_hours(now_, 1.0)) evening += std::chrono::hours{24};
    while (after_hours(now_, person_.look_every_h) < evening) {
      if (looks(truth, number)) return;
    }
    wait_until(evening);
    const auto asked = advise_steering(PlanRequest{{}, "blue"}, household_, now_);
    if (asked && truth.opens > now_) {
      const SteeringAdvice& advice = asked.value();
      const Way& way = advice.best.front();
      truth = ferments([&](Instant at) { return celsius_along(way, at); });
      const auto attended = attended_for(std::nullopt, now_, household_.setup());
      all.push_back({way.step, way.chance, in_time(truth, attended), advice.left.chance,
                     in_time(left, attended)});
      do_as_advised(way);
    }
    while (!looks(truth, number)) {
    }
  }

  [[nodiscard]] double celsius_along(const Way& way, Instant at) const {
    if (!way.at || at < *way.at || (way.until && at >= *way.until)) return room_.celsius_at(at);
    return way.place == "fridge" ? fridge_c : pantry_.celsius_at(at);
  }

  void do_as_advised(const Way& way) {
    if (!way.at) return;
    wait_until(*way.at);
    say(Move{"blue", way.place});
    if (!way.until) return;
    wait_until(*way.until);
    say(Move{"blue", "kitchen"});
  }

  void read() {
    const double air = room_.celsius_at(now_) + thermometer_offset_k_ + dice_.normal(0.0, 0.05);
    const auto entry =
        household_.decide("kitchen", Celsius(std::round(air * 10.0) / 10.0), now_, now_);
    if (entry) home_.apply(entry.value());
    if (!with_pantry_) return;
    const double there = pantry_.celsius_at(now_) + pantry_dice_.normal(0.0, 0.05);
    const Celsius shown(std::round(there * 10.0) / 10.0);
    if (const auto read = household_.decide("pantry", shown, now_, now_)) home_.apply(read.value());
    home_.apply(ReadingTaken{"fridge", now_, Celsius(fridge_c)});
  }

  // Lets time pass; the thermometer goes on reporting.
  void wait_until(Instant instant) {
    for (Instant next = now_ + read_every_; next <= instant; next += read_every_) {
      now_ = next;
      read();
    }
    now_ = std::max(now_, instant);
    for (const Announcement& said : home_.announcer.due(now_)) {
      story_.slower_said += word(said.kind) == "culture-slower" ? 1 : 0;
      story_.faster_said += word(said.kind) == "culture-faster" ? 1 : 0;
      home_.apply(Announced{said.id, now_});
    }
  }

  [[nodiscard]] Instant last_reading_before(Instant instant) const {
    return now_ + (instant - now_) / read_every_ * read_every_;
  }

  void say(const Fact& fact) {
    const auto accepted = household_.decide(Report{fact, std::nullopt, std::nullopt}, now_);
    if (accepted) home_.apply(accepted.value().record);
  }

  void live_a_batch(std::size_t number) {
    wait_until(when_awake(after_hours(now_, dice_.waiting(1.5)), dice_));
    Start start;
    start.jar = "blue";
    start.milk_ml = dice_.happens(0.7) ? 950.0 : 800.0;
    start.grain_g = std::max(8.0, std::round(dice_.normal(20.0, 2.0)));
    const double milk_c = dice_.normal(6.0, 1.5);
    speed_ *= std::exp(dice_.normal(0.0, grains_.drift_log_sd));
    const double speed = speed_ * std::exp(dice_.normal(0.0, grains_.batch_log_sd));
    const TrueBatch truth =
        fermented(grains_, speed, *start.grain_g, *start.milk_ml, milk_c, room_, now_, dice_);
    say(start);
    ask_early_at_ = after_hours(now_, asked_at_share * hours_between(truth.started, truth.opens));
    seen_ = Sign::still_milk;
    while (!looks(truth, number)) {
    }
  }

  // Goes to the jar once; true when it was strained.
  bool looks(const TrueBatch& truth, std::size_t number) {
    const Instant look =
        when_awake(after_hours(now_, std::max(0.1, dice_.waiting(person_.look_every_h))), dice_);
    if (now_ < ask_early_at_ && ask_early_at_ <= look) ask_early(truth, number);
    if (now_ < truth.opens && truth.opens <= look) ask_when_open(truth, number);
    wait_until(look);
    const Sign shows = truth.shows(now_);
    say_what_is_seen(shows);
    if (person_.has_ph_meter && shows > Sign::still_milk && dice_.happens(0.3)) {
      const double ph = truth.ph_at(now_) + person_.ph_bias + dice_.normal(0.0, 0.06);
      say(PhMeasured{"blue", std::round(ph * 100.0) / 100.0});
    }
    const bool asked = ask_early_at_ <= now_;
    const bool bed_time = hour_of_day(now_) > 21.5;
    const bool strains = shows >= Sign::whey_pockets
                             ? dice_.happens(shows == Sign::whey_layer ? 0.95 : 0.5)
                             : shows == Sign::set && bed_time && asked && dice_.happens(0.1);
    if (!strains) return false;
    Strain strain{"blue", {}, {}, {}};
    if (dice_.happens(person_.says_verdict)) strain.verdict = verdict(shows);
    say(strain);
    return true;
  }

  void say_what_is_seen(Sign shows) {
    if (dice_.happens(person_.mistaken)) {
      const int wrong = std::clamp(static_cast<int>(shows) + (dice_.happens(0.5) ? 1 : -1), 0, 5);
      return say(SignSeen{"blue", static_cast<Sign>(wrong)});
    }
    if (shows <= seen_) return;
    const double chance = shows >= Sign::whey_pockets ? person_.says_pockets : person_.says_a_step;
    if (!dice_.happens(chance)) return;
    seen_ = shows;
    say(SignSeen{"blue", shows});
  }

  Verdict verdict(Sign shows) {
    if (dice_.happens(person_.mistaken)) return dice_.happens(0.5) ? Verdict::early : Verdict::late;
    if (shows < Sign::whey_pockets) return Verdict::early;
    return shows == Sign::whey_pockets ? Verdict::right : Verdict::late;
  }

  [[nodiscard]] Forecast forecast_now() const {
    const Batch* batch = household_.book().in_jar("blue");
    const Fermentation* fermentation = batch == nullptr ? nullptr : household_.fermentation(*batch);
    return fermentation != nullptr && fermentation->forecast() ? *fermentation->forecast()
                                                               : Forecast{};
  }

  static Scored scored(const InstantSpread& forecast, Instant came, double length_h,
                       std::size_t number) {
    Scored scored{number, nothing_said, nothing_said, false};
    if (forecast.p50) scored.error_share = hours_between(came, *forecast.p50) / length_h;
    if (forecast.p10 && forecast.p90) {
      scored.width_share = hours_between(*forecast.p10, *forecast.p90) / length_h;
      scored.covered = *forecast.p10 <= came && came <= *forecast.p90;
    }
    return scored;
  }

  void ask_early(const TrueBatch& truth, std::size_t number) {
    wait_until(ask_early_at_);
    const double length_h = hours_between(truth.started, truth.opens);
    const Forecast forecast = forecast_now();
    story_.opens.push_back(scored(forecast.peak_opens, truth.opens, length_h, number));
    story_.closes.push_back(scored(forecast.peak_closes, truth.closes, length_h, number));
    if (!forecast.peak_opens.p50 || !forecast.peak_closes.p50) return;
    story_.peak_h += hours_between(truth.opens, truth.closes);
    story_.peak_h_computed += hours_between(*forecast.peak_opens.p50, *forecast.peak_closes.p50);
  }

  // Asks at the last reading before the peak opens: nothing newer is known then.
  void ask_when_open(const TrueBatch& truth, std::size_t number) {
    wait_until(last_reading_before(truth.opens));
    story_.closes_of_an_open_peak.push_back(scored(forecast_now().peak_closes, truth.closes,
                                                   hours_between(truth.started, truth.opens),
                                                   number));
  }

  Dice dice_;
  Dice pantry_dice_;
  bool with_pantry_;
  Room pantry_{};
  TrueGrains grains_;
  Person person_;
  test::LivedHousehold home_;
  Household& household_ = home_.household;
  Room room_{};
  minutes read_every_{5};
  double thermometer_offset_k_ = 0.0;
  double speed_ = 1.0;
  Instant now_;
  Instant ask_early_at_;
  Sign seen_ = Sign::still_milk;
  LifeStory story_;
};

}  // namespace

LifeStory lived(std::uint64_t seed, std::size_t batches, const Rooms& rooms, const Change& change,
                double swing_k) {
  return Life(seed, rooms).lived(batches, change, swing_k);
}

std::vector<Advised> advised(std::uint64_t seed, std::size_t batches, const Rooms& rooms) {
  return Life(seed, rooms, true).advised(batches);
}

std::vector<Steered> steered(std::uint64_t seed, std::size_t batches, const Rooms& rooms) {
  return Life(seed, rooms, true).steered(batches);
}

}  // namespace wheymark::simulation
