// The words in which tests describe a household: how warm rooms are, thermometers that may die,
// time that passes, people who report.
//
// Everything goes the library's way: decide, keep in the journal, apply, then announce what is due.
// At every step two things are checked that must hold in any story: no timer is asked for that has
// passed already (it would spin), and no id is announced twice.
#pragma once

#include <algorithm>
#include <bit>
#include <chrono>
#include <fmt/format.h>
#include <functional>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "core/household/jar_state.hpp"
#include "core/kinetics/parameters.hpp"
#include "tests/core/given.hpp"
#include "tests/core/home.hpp"

namespace wheymark::test {

using namespace literals;
using namespace std::chrono_literals;

inline Weigh weigh(double grain_g) {
  return {"tilly", grain_g};
}

// Two rooms and a fridge with thermometers, an attic without one; two working jars, two bottles.
inline HouseholdSetup small_setup() {
  HouseholdSetup setup;
  setup.home_name = "Test home";
  setup.places = {{"kitchen", "Kitchen", PlaceKind::room, true, 45min},
                  {"larder", "Larder", PlaceKind::room, true, 45min},
                  {"attic", "Attic", PlaceKind::room, false, 45min},
                  {"fridge", "Fridge", PlaceKind::fridge, true, 45min}};
  setup.cultures = {{"tilly", "Tilly", 20.0}, {"moor", "Moor", 15.0}};
  JarSetup blue{"blue", "Blue jar", 1250.0, "kitchen", "tilly", {}, {}, {}, {}, {}};
  blue.milk = MilkKind::cow_whole;
  blue.milk_ml = 950.0;
  blue.grain_g = 20.0;
  JarSetup red = blue;
  red.id = "red";
  red.name = "Red jar";
  setup.jars = {blue, red};
  setup.jars.push_back({"bottle", "Bottle", 1000.0, "fridge", {}, {}, {}, {}, {}, {}});
  setup.jars.push_back({"flask", "Flask", 500.0, "fridge", {}, {}, {}, {}, {}, {}});
  return setup;
}

// --- what a person says -------------------------------------------------------------------------

inline Start start(const JarId& jar) {
  Start said;
  said.jar = jar;
  return said;
}
inline Strain strain(const JarId& jar) {
  return {jar, {}, {}, {}};
}
inline Strain strain_into(const JarId& jar, const JarId& into) {
  return {jar, {{into}}, {}, {}};
}
inline StoreAway store(const JarId& jar) {
  return {jar, {}};
}
inline Take take_out(const JarId& jar) {
  return {jar, {}};
}
inline Discard discard(const JarId& jar) {
  return {jar, {}};
}

// --- a place ------------------------------------------------------------------------------------

// The air of a place as it really is, and the thermometer that hangs there.
class Room {
 public:
  explicit Room(Celsius air) : was_(air), will_be_(air) {}

  // From now on, all at once.
  void is(Celsius air) { was_ = will_be_ = air; }
  void drifts_to(Celsius air, std::chrono::minutes within) {
    was_ = at(now_);
    will_be_ = air;
    from_ = now_;
    within_ = within;
  }
  void thermometer_dies() { speaks_ = false; }
  void thermometer_works() { speaks_ = true; }
  // Its readings are wrong by so much.
  void thermometer_is_off_by(KelvinDifference error) { error_ = error; }
  void is_read_every(std::chrono::minutes interval) { interval_ = interval; }

  [[nodiscard]] Celsius at(Instant instant) const {
    const double share = std::clamp(
        hours_between(from_, instant) / hours_between(Instant{}, Instant{within_}), 0.0, 1.0);
    return was_ + share * (will_be_ - was_);
  }

 private:
  friend class World;
  Celsius was_;
  Celsius will_be_;
  Instant from_{};
  std::chrono::minutes within_{1};
  Instant now_{};
  bool speaks_ = true;
  KelvinDifference error_{0.0};
  std::chrono::minutes interval_{5};
};

// --- the world ----------------------------------------------------------------------------------

class World {
 public:
  explicit World(HouseholdSetup setup = small_setup(), Instant begins = morning)
      : now_(begins), setup_(std::move(setup)), home_(fresh()) {
    for (const PlaceSetup& place : setup_.places) {
      if (!place.has_thermometer) continue;
      rooms_.emplace(place.id, Room(place.kind == PlaceKind::fridge ? 4.0_degC : 20.0_degC));
    }
    home_->announcer.listen_from(now_);
    home_->attention.listen_from(now_);
  }

  [[nodiscard]] Room& room(const PlaceId& place) { return rooms_.at(place); }
  [[nodiscard]] Household& household() { return home_->household; }
  [[nodiscard]] Announcer& announcer() { return home_->announcer; }
  [[nodiscard]] Attention& attention() { return home_->attention; }
  [[nodiscard]] Instant now() const { return now_; }

  void run_for(Milliseconds time) { run_until(now_ + time); }

  void run_until(Instant until) {
    for (;;) {
      Instant next = until;
      for (const auto& [place, room] : rooms_) {
        if (room.speaks_) next = std::min(next, next_reading(room));
      }
      if (const auto due = home_->announcer.next_due()) next = std::min(next, std::max(*due, now_));
      if (const auto look = home_->attention.next_due())
        next = std::min(next, std::max(*look, now_));
      now_ = next;
      for (auto& [place, room] : rooms_) {
        room.now_ = now_;
        if (room.speaks_ && now_.time_since_epoch() % room.interval_ == 0ms) {
          (void)hears(place, room.at(now_) + room.error_);
        }
      }
      settle();
      if (now_ == until) return;
    }
  }

  // A reading arrives, measured now or at `at`; if it is refused, the outcome says why.
  Outcome hears(const PlaceId& place, Celsius air, std::optional<Instant> at = {}) {
    const auto entry = home_->household.decide(place, air, at.value_or(now_), now_);
    if (!entry) return entry.refusal();
    keep(entry.value());
    home_->household.hear(place, now_);
    settle();
    return Nothing{};
  }

  // Somebody reports a fact; if it is refused, the result says why.
  Result<FactRecord> says(Fact fact, std::optional<Instant> at = {},
                          std::optional<std::string> ref = {}) {
    return takes({std::move(fact), at, std::move(ref)});
  }
  // Said again after a doubt.
  Result<FactRecord> says_for_sure(Fact fact) {
    return takes({std::move(fact), std::nullopt, std::nullopt, true});
  }
  Result<FactRecord> takes(const Report& report) {
    const auto accepted = home_->household.decide(report, now_);
    if (!accepted) return accepted.refusal();
    if (!accepted.value().reported_before) keep(accepted.value().record);
    settle();
    return accepted.value().record;
  }
  // The same for a fact that must be accepted for the story to go on.
  FactRecord does(Fact fact, std::optional<Instant> at = {}, std::optional<std::string> ref = {}) {
    const auto said = says(std::move(fact), at, std::move(ref));
    EXPECT_TRUE(said.ok()) << said.why();
    if (!said) throw std::runtime_error(said.why());
    return said.value();
  }

  // A taker to which all entries of the journal have been applied, one by one.
  template <class Taker>
  [[nodiscard]] Taker records() const {
    Taker taker;
    for (const Entry& entry : journal_) taker.add(entry);
    return taker;
  }

  [[nodiscard]] JarState state(const JarId& jar) const {
    return jar_state(home_->household, jar, now_);
  }

  [[nodiscard]] const std::vector<Announcement>& announcements() const { return announcements_; }
  [[nodiscard]] const std::vector<Notice>& notices() const { return notices_; }
  // The kinds that were announced about a subject, in order.
  [[nodiscard]] std::vector<std::string> told_of(const std::string& subject) const {
    std::vector<std::string> kinds;
    for (const Announcement& a : announcements_) {
      if (a.subject == subject) kinds.emplace_back(word(a.kind));
    }
    return kinds;
  }
  [[nodiscard]] const Announcement& the(const std::string& kind) const {
    const auto found = std::find_if(announcements_.begin(), announcements_.end(),
                                    [&](const Announcement& a) { return word(a.kind) == kind; });
    if (found == announcements_.end()) throw std::runtime_error("never announced: " + kind);
    return *found;
  }

  // Everything that can be asked of every jar, numbers to the bit.
  [[nodiscard]] std::vector<std::string> all_bits() const {
    home_->household.weigh_all_thermometers(now_);  // doubt is weighed each few minutes
    return bits_of(home_->household);
  }
  // The same of a household that is folded again from the journal, as at a start.
  [[nodiscard]] std::vector<std::string> all_bits_folded_again() const {
    const auto again = fresh();
    again->announcer.listen_from(home_->announcer.listening_since());
    again->household.begin_restoring();
    for (const Entry& entry : journal_) again->apply(entry);
    again->household.end_restoring();
    again->household.weigh_all_thermometers(now_);
    return bits_of(again->household);
  }

 private:
  [[nodiscard]] std::unique_ptr<LivedHousehold> fresh() const {
    return std::make_unique<LivedHousehold>(setup_);
  }

  [[nodiscard]] Instant next_reading(const Room& room) const {
    const auto since = now_.time_since_epoch() % room.interval_;
    return now_ - since + room.interval_;
  }

  void keep(Entry entry) {
    home_->apply(entry);
    journal_.push_back(std::move(entry));
  }

  void settle() {
    home_->household.weigh_thermometers(now_);
    for (Announcement& due : home_->announcer.due(now_)) {
      EXPECT_LE(due.time, now_) << due.id;
      EXPECT_TRUE(ids_.insert(due.id).second) << "announced twice: " << due.id;
      keep(Announced{due.id, now_});
      announcements_.push_back(std::move(due));
    }
    for (Notice& due : home_->attention.due(now_)) {
      EXPECT_TRUE(ids_.insert(due.id).second) << "told twice: " << due.id;
      for (const std::string& matter : due.matters) {
        EXPECT_TRUE(ids_.insert(matter + " told").second) << "told twice: " << matter;
      }
      keep(Noticed{due.id, now_, due.kind, due.matters});
      notices_.push_back(std::move(due));
    }
    const auto look = home_->attention.next_due();
    EXPECT_TRUE(!look || *look > now_) << "a look that spins";
    const auto next = home_->announcer.next_due();
    EXPECT_TRUE(!next || *next > now_)
        << "a timer that spins at " << now_.time_since_epoch().count();
    if (next && *next <= now_) throw std::runtime_error("a timer that spins");
    // Whatever changed was marked: nothing is due earlier than the agenda says.
    home_->household.mark_everything_changed();
    const auto anew = home_->announcer.next_due();
    EXPECT_TRUE(!anew || (next && *next <= *anew)) << "not on the agenda";
  }

  static std::string bits(std::optional<double> number) {
    return number ? fmt::format("{:x}", std::bit_cast<std::uint64_t>(*number)) : "-";
  }
  static std::string bits(std::optional<Instant> instant) {
    return instant ? std::to_string(instant->time_since_epoch().count()) : "-";
  }
  static std::string bits(const InstantSpread& spread) {
    return bits(spread.p10) + " " + bits(spread.p50) + " " + bits(spread.p90);
  }

  [[nodiscard]] std::vector<std::string> bits_of(const Household& household) const {
    std::vector<std::string> lines;
    for (const JarSetup& jar : setup_.jars) {
      const JarState s = jar_state(household, jar.id, now_);
      std::string line = fmt::format(
          "{}: {} progress {} opens {} closes {} to peak {} pH {} acidity {} milk {} mL {}", jar.id,
          word(s.stage), bits(s.progress_percent), bits(s.forecast.peak_opens),
          bits(s.forecast.peak_closes), bits(s.hours_to_peak), bits(s.ph), bits(s.acidity_percent),
          bits(s.milk_c), bits(s.kefir_ml));
      if (s.batch != nullptr) line += bits_of(household, *s.batch);
      lines.push_back(std::move(line));
    }
    return lines;
  }

  [[nodiscard]] std::string bits_of(const Household& household, const Batch& batch) const {
    std::string line = fmt::format(" batch started {} in {} at {}", bits(batch.started),
                                   batch.jar(), batch.place());
    if (const auto now = household.condition(batch, now_)) {
      line += fmt::format(" clocks {} {}", bits(now->acid_clock_h), bits(now->gas_clock_h));
    }
    if (const Fermentation* fermentation = household.fermentation(batch)) {
      for (const double share : {0.1, 0.5, 0.9})
        line += " " + bits(fermentation->pace().quantile(share));
    }
    return line;
  }

  Instant now_;
  HouseholdSetup setup_;
  std::map<PlaceId, Room> rooms_;
  std::unique_ptr<LivedHousehold> home_;
  std::vector<Entry> journal_;
  std::vector<Announcement> announcements_;
  std::vector<Notice> notices_;
  std::set<std::string> ids_;
};

// A world with one jar, "blue", in its room.
class OneJar : public ::testing::Test {
 protected:
  World world;
  Room& room = world.room("kitchen");
  Room& fridge = world.room("fridge");

  [[nodiscard]] std::vector<std::string> told() const { return world.told_of("jar-blue"); }
  [[nodiscard]] JarState jar() const { return world.state("blue"); }
};

}  // namespace wheymark::test
