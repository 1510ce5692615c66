#include "tests/simulation/closed_loop.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <optional>

#include "core/advice/feeding.hpp"
#include "core/advice/steering.hpp"
#include "core/notice/attention.hpp"
#include "core/notice/guidance.hpp"
#include "core/record/local_time.hpp"
#include "core/record/waking.hpp"
#include "tests/core/home.hpp"
#include "tests/simulation/jar_lived_with.hpp"

namespace wheymark::simulation {
namespace {

using std::chrono::minutes;

constexpr minutes step{5};
constexpr double mistaken = 0.03;
constexpr std::size_t counted_from = 4;  // the fifth batch

class ClosedLoop {
 public:
  ClosedLoop(const LifeAsked& who, const Rooms& rooms)
      : who_(who), dice_(who.seed), world_(who.seed + 77'000), home_(setup_of(who.jars)) {
    const auto which = static_cast<std::size_t>(world_.even(0.0, 3.0)) == 0 ? 1U : 0U;
    const RecordedRoom& record = rooms.recorded[which];
    const double from_day = std::floor(world_.even(0.0, record.length_h() / 24.0));
    const double warmer_k = world_.normal(-1.0, 1.5);
    rooms_["kitchen"] = Room{&record, first_midnight, 24.0 * from_day, warmer_k};
    rooms_["pantry"] =
        Room{&record, first_midnight, 24.0 * from_day + 24.0, warmer_k - pantry_colder_k};
    offset_k_ = world_.normal(0.0, 0.3);
    for (std::size_t i = 0; i < who.jars; ++i) {
      JarLivedWith jar;
      jar.id = JarId("jar-" + std::to_string(i + 1));
      jar.grains = TrueGrains::drawn(world_);
      jars_.push_back(std::move(jar));
    }
    home_.announcer.listen_from(first_midnight);
    home_.attention.listen_from(first_midnight);
    now_ = first_midnight + std::chrono::hours{8};
    for (std::size_t i = 0; i < jars_.size(); ++i) {
      plan(after_hours(now_, world_.even(0.1, 3.0)), i, [this, i] { feed_as_usual(i); });
    }
  }

  Lived lived(std::size_t batches) {
    const auto done = [&] {
      return std::all_of(jars_.begin(), jars_.end(),
                         [&](const JarLivedWith& jar) { return jar.begun > batches; });
    };
    const Instant limit = now_ + std::chrono::hours{24 * 3} * static_cast<int>(batches + 4);
    std::optional<Instant> counted_since;
    while (!done() && now_ < limit) {
      live_a_step();
      const bool counts = std::all_of(jars_.begin(), jars_.end(), [](const JarLivedWith& jar) {
        return jar.begun > counted_from;
      });
      if (counts && !counted_since) {
        counted_since = now_;
        const std::vector<TextSaid> said = std::move(lived_.said);
        lived_ = {};
        lived_.said = said;
      }
    }
    if (counted_since) lived_.days = hours_between(*counted_since, now_) / 24.0;
    for (const auto& [day, count] : by_day_) {
      lived_.most_in_a_day = std::max(lived_.most_in_a_day, static_cast<double>(count));
    }
    return lived_;
  }

 private:
  [[nodiscard]] const HouseholdSetup& setup() const { return home_.household.setup(); }
  [[nodiscard]] bool awake() const { return awake_at(now_, setup()); }
  [[nodiscard]] double air_c(const PlaceId& place, Instant at) const {
    if (place == "fridge") return fridge_c;
    return rooms_.at(place).celsius_at(at);
  }

  void plan(Instant at, std::size_t jar, std::function<void()> act) {
    todo_.push_back({at, jar, std::move(act)});
  }
  void forget(std::size_t jar) {
    std::erase_if(todo_, [&](const Todo& todo) { return todo.jar == jar; });
  }
  [[nodiscard]] Instant soon() {
    return when_awake(after_hours(now_, 0.05 + dice_.waiting(0.15)), setup());
  }

  void live_a_step() {
    now_ += step;
    read();
    home_.household.weigh_thermometers(now_);
    for (const Announcement& said : home_.announcer.due(now_)) {
      apply(Announced{said.id, now_});
      if (said.kind == EventKind::peak_open) heard_peak_open(said);
    }
    if (who_.habit >= Habit::notices) {
      for (const Notice& notice : home_.attention.due(now_)) {
        apply(Noticed{notice.id, now_, notice.kind, notice.matters});
        heard(notice);
      }
    }
    if (who_.habit == Habit::asking && hour_of_day(now_) == asks_at_h) ask_in_the_evening();
    if (who_.habit == Habit::looking && awake() && std::fmod(hour_of_day(now_), 2.0) == 1.0) {
      for (std::size_t i = 0; i < jars_.size(); ++i) look(i);
    }
    if (who_.habit == Habit::each_day) strain_by_the_clock();
    judge_forecasts();
    do_what_is_due();
  }

  // Nothing is asked of a batch that was moved: its end is not that of the forecast.
  void judge_forecasts() {
    for (JarLivedWith& jar : jars_) {
      const double length_h = hours_between(jar.started, jar.truth.opens);
      if (!jar.running || jar.judged || jar.begun <= counted_from) continue;
      if (now_ < after_hours(jar.started, asked_at_share * length_h)) continue;
      jar.judged = true;
      const Batch* batch = home_.household.book().in_jar(jar.id);
      const Fermentation* known = batch == nullptr ? nullptr : home_.household.fermentation(*batch);
      if (known == nullptr || !known->forecast() || !known->forecast()->peak_opens.p50) continue;
      lived_.judge(known->forecast()->peak_opens, jar.truth.opens, length_h);
    }
  }

  void do_what_is_due() {
    for (std::size_t i = 0; i < todo_.size();) {
      if (todo_[i].at > now_) {
        ++i;
        continue;
      }
      const auto act = std::move(todo_[i].act);
      todo_.erase(todo_.begin() + static_cast<std::ptrdiff_t>(i));
      act();
      i = 0;
    }
  }

  void read() {
    for (const auto& [place, room] : rooms_) {
      const double air = room.celsius_at(now_) + offset_k_ + world_.normal(0.0, 0.05);
      const auto entry =
          home_.household.decide(place, Celsius(std::round(air * 10.0) / 10.0), now_, now_);
      if (entry) apply(entry.value());
      home_.household.hear(place, now_);
    }
    apply(ReadingTaken{"fridge", now_, Celsius(fridge_c)});
    home_.household.hear("fridge", now_);
  }

  void apply(const Entry& entry) { home_.apply(entry); }

  // What was accepted; nothing when it was refused.
  std::optional<FactRecord> say(const Fact& fact) {
    const auto accepted = home_.household.decide(Report{fact, std::nullopt, std::nullopt}, now_);
    if (!accepted) return std::nullopt;
    steps_.clear();
    if (std::holds_alternative<Strain>(fact)) {
      steps_ = steps_after_straining(accepted.value().record, home_.household);
    }
    apply(accepted.value().record);
    return accepted.value().record;
  }

  void feed_as_usual(std::size_t i) {
    Start start;
    start.jar = jars_[i].id;
    start.grain_g = std::max(8.0, std::round(world_.normal(20.0, 1.0)));
    start.milk_ml = 950.0;
    if (who_.habit == Habit::asking && jars_[i].begun > 0) {
      PlanRequest request;
      request.jar = jars_[i].id;
      const auto asked = advise_feeding(request, home_.household, now_);
      if (asked) {
        const Feeding& best = asked.value().best.front();
        start.grain_g = best.grain_g;
        start.milk_ml = best.milk_ml;
        start.place = best.place;
        if (best.start > now_) {
          return plan(best.start, i, [this, i, start] { feed(i, start); });
        }
      }
    }
    feed(i, start);
  }

  void feed(std::size_t i, const Start& start) {
    JarLivedWith& jar = jars_[i];
    if (jar.running) return;
    jar.speed *= std::exp(world_.normal(0.0, jar.grains.drift_log_sd));
    jar.batch_speed = jar.speed * std::exp(world_.normal(0.0, jar.grains.batch_log_sd));
    jar.milk_c = world_.normal(6.0, 1.5);
    jar.grain_g = start.grain_g.value_or(20.0);
    jar.milk_ml = start.milk_ml.value_or(950.0);
    jar.started = now_;
    jar.stood = {{now_, start.place.value_or("kitchen")}};
    jar.of_the_batch = world_;
    world_.normal(0.0, 1.0);
    if (!say(start)) {  // another hand fed it less, or too many grains were asked for
      Start plain;
      plain.jar = jar.id;
      plain.place = start.place;
      if (!say(plain)) return plan(after_hours(now_, 1.0), i, [this, i, start] { feed(i, start); });
      jar.grain_g = 20.0;
      jar.milk_ml = 950.0;
    }
    jar.running = true;
    jar.judged = false;
    ++jar.begun;
    ferment(jar);
  }

  void ferment(JarLivedWith& jar) {
    Dice dice = jar.of_the_batch;
    jar.truth = fermented(
        jar.grains, jar.batch_speed, jar.grain_g, jar.milk_ml, jar.milk_c,
        [&](Instant at) {
          std::size_t i = jar.stood.size() - 1;
          while (i > 0 && jar.stood[i].from > at) --i;
          return air_c(jar.stood[i].place, at);
        },
        jar.started, dice);
  }

  void look(std::size_t i) {
    if (!jars_[i].running) return;
    ++lived_.looks;
    if (jars_[i].truth.shows(now_) >= Sign::whey_pockets) strain(i);
  }

  // Goes there, and again until pockets show.
  void look_until_ready(std::size_t i, std::optional<Instant> again_at = {}) {
    if (!jars_[i].running) return;
    look(i);
    if (jars_[i].running) {
      plan(when_awake(std::max(after_hours(now_, 0.5), again_at.value_or(after_hours(now_, 2.0))),
                      setup()),
           i, [this, i] { look_until_ready(i); });
    }
  }

  [[nodiscard]] std::optional<Verdict> verdict(const JarLivedWith& jar) {
    if (!who_.says_verdict) return std::nullopt;
    if (dice_.happens(mistaken)) return dice_.happens(0.5) ? Verdict::early : Verdict::late;
    const Sign shows = jar.truth.shows(now_);
    if (shows < Sign::whey_pockets) return Verdict::early;
    return shows == Sign::whey_pockets ? Verdict::right : Verdict::late;
  }

  void strain(std::size_t i) {
    JarLivedWith& jar = jars_[i];
    Strain strain{jar.id, {}, verdict(jar), std::nullopt};
    if (!say(strain)) return;
    const bool open = jar.truth.opens <= now_;
    const bool over = jar.truth.closes <= now_;
    ++lived_.batches;
    ++(over ? lived_.late : open ? lived_.at_peak : lived_.early);
    jar.running = false;
    forget(i);
    if (who_.habit >= Habit::notices) {
      if (!steps_.empty()) {
        const NoticeStep next = steps_.front();
        return plan(std::max(soon(), next.at), i,
                    [this, i, next] { feed(i, std::get<Start>(next.say)); });
      }
    }
    plan(when_awake(after_hours(now_, 0.2 + dice_.waiting(0.5)), setup()), i,
         [this, i] { feed_as_usual(i); });
  }

  void strain_by_the_clock() {
    for (std::size_t i = 0; i < jars_.size(); ++i) {
      if (jars_[i].running && awake() && now_ >= jars_[i].started + std::chrono::hours{24}) {
        ++lived_.looks;
        strain(i);
      }
    }
  }

  void heard_peak_open(const Announcement& said) {
    if (who_.habit != Habit::on_peak_open && who_.habit != Habit::asking) return;
    for (std::size_t i = 0; i < jars_.size(); ++i) {
      if (said.subject == "jar-" + jars_[i].id.text()) {
        plan(soon(), i, [this, i] { look_until_ready(i); });
      }
    }
  }

  void ask_in_the_evening() {
    for (std::size_t i = 0; i < jars_.size(); ++i) {
      if (!jars_[i].running) continue;
      PlanRequest request;
      request.about = About::batch;
      request.jar = jars_[i].id;
      const auto asked = advise_steering(request, home_.household, now_);
      if (!asked) continue;
      const Way way = asked.value().best.front();
      if (way.step == Remedy::strain) {
        look(i);
      } else if (way.at) {
        plan(*way.at, i, [this, i, way] { move(i, way.place); });
        if (way.until) plan(*way.until, i, [this, i] { move(i, "kitchen"); });
      }
    }
  }

  void move(std::size_t i, const PlaceId& place) {
    JarLivedWith& jar = jars_[i];
    if (!jar.running || !say(Move{jar.id, place})) return;
    ++lived_.moves;
    jar.stood.push_back({now_, place});
    ferment(jar);
  }

  void heard(const Notice& notice) {
    const bool safety = notice.kind == NoticeKind::safety;
    ++(safety ? lived_.safety : lived_.notices);
    if (!safety && !awake()) ++lived_.at_night;
    if (!safety) ++by_day_[std::chrono::floor<std::chrono::days>(now_)];
    if (who_.reads_aloud) {
      lived_.said.push_back({day_and_clock_text(now_, setup()),
                             fmt::format("[{}] {}", word(notice.kind), notice.text)});
    }
    for (std::size_t i = 0; i < jars_.size(); ++i) {
      bool strains = false;
      bool moves = false;
      std::optional<Instant> again_at;
      std::optional<Start> feeds;
      for (const NoticeStep& next : notice.steps) {
        if (const Strain* said = std::get_if<Strain>(&next.say))
          strains |= said->jar == jars_[i].id;
        if (const SignSeen* said = std::get_if<SignSeen>(&next.say);
            said && said->jar == jars_[i].id) {
          again_at = next.at;
        }
        if (const Move* said = std::get_if<Move>(&next.say); said && said->jar == jars_[i].id) {
          moves = true;
          const PlaceId place = said->place;
          plan(std::max(soon(), next.at), i, [this, i, place] { move(i, place); });
        }
        if (const Start* said = std::get_if<Start>(&next.say); said && said->jar == jars_[i].id) {
          if (!jars_[i].running) {
            forget(i);
            const Start start = *said;
            plan(std::max(soon(), next.at), i, [this, i, start] { feed(i, start); });
          }
        }
      }
      if (strains && jars_[i].running) {
        // Where it is to be moved there is one look before that.
        if (moves) plan(soon(), i, [this, i] { look(i); });
        if (!moves) plan(soon(), i, [this, i, again_at] { do_as_told(i, again_at); });
      }
    }
  }

  void do_as_told(std::size_t i, std::optional<Instant> again_at) {
    if (!jars_[i].running) return;
    if (who_.habit == Habit::notices) {
      ++lived_.looks;
      return strain(i);
    }
    const Sign shows = jars_[i].truth.shows(now_);
    // Whoever has buttons presses the one for "not ready".
    if (who_.says_verdict && shows == Sign::set) say(SignSeen{jars_[i].id, Sign::set});
    look_until_ready(i, again_at);
  }

  LifeAsked who_;
  Dice dice_;   // the person's
  Dice world_;  // the same for each habit at first
  test::LivedHousehold home_;
  std::map<PlaceId, Room> rooms_;
  double offset_k_ = 0.0;
  std::vector<JarLivedWith> jars_;
  std::vector<Todo> todo_;
  std::vector<NoticeStep> steps_;
  std::map<std::chrono::sys_days, int> by_day_;
  Instant now_;
  Lived lived_;
};

}  // namespace

Lived lived_by(const LifeAsked& who, std::size_t batches, const Rooms& rooms) {
  return ClosedLoop(who, rooms).lived(batches);
}

}  // namespace wheymark::simulation
