// What happens in a simulated world, step by step: made from a seed, printed line by line, and made
// smaller when it fails.
//
// Every step is independent, so any of them can be left out and the rest is still a story. Times
// are minutes of true time since the world began; the daemon's clock may show something else.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <fmt/format.h>
#include <string>
#include <variant>
#include <vector>

#include "tests/vocabulary/dice.hpp"

namespace wheymark::faults {

using test::Dice;

// A person reports something, again and again until it is answered.
struct Says {
  std::string fields;  // JSON members without the braces, `ref` and `at`
  int told_at_min;     // when it happened, as the person remembers; -1: left out
};

enum class Ailment { silent, stuck, jumping, fahrenheit, kelvin, swapped, nonsense };
struct ThermometerAils {
  int place;
  Ailment ailment;
  int for_min;
};

// What the network does to every message to the daemon, as probabilities in percent.
struct NetworkIsBad {
  int lost, doubled, late;
  int for_min;
};

enum class BrokerFault { away, refusing, slow, forgets, old_will };
struct BrokerAils {
  BrokerFault fault;
  int for_min;
};

enum class DiskFault { full, read_only };
struct DiskAils {
  DiskFault fault;
  int for_min;
};

// The process dies in the middle of the n-th change of the disk from now; with `power_cut`, what
// was not synced is lost, too, or half of it.
struct Dies {
  int at_change;
  bool power_cut;
  int down_min;
};

// The n-th change of the disk from now fails, and the process goes on.
struct WriteFails {
  int at_change;
};

// Somebody stops the daemon as one should, and starts it again.
struct Restarts {
  int down_min;
};

enum class ClockFault { unset, steps, leaps_a_day };
struct ClockAils {
  ClockFault fault;
  int by_s;
  int for_min;
};

using EventKind = std::variant<Says, ThermometerAils, NetworkIsBad, BrokerAils, DiskAils,
                               WriteFails, Dies, Restarts, ClockAils>;

struct Step {
  int at_min;
  int number;  // its chance does not depend on the other steps
  EventKind what;
};

struct Story {
  std::uint64_t seed;
  int hours;
  std::vector<Step> steps;
};

// --- printing -----------------------------------------------------------------------------------

inline std::string shown(const Step& step) {
  struct Shown {
    std::string operator()(const Says& s) const {
      return fmt::format("says {}{}", s.fields,
                         s.told_at_min < 0 ? "" : fmt::format(" (of minute {})", s.told_at_min));
    }
    std::string operator()(const ThermometerAils& t) const {
      constexpr std::array names{"silent",    "stuck",   "jumping", "in Fahrenheit",
                                 "in Kelvin", "swapped", "nonsense"};
      return fmt::format("thermometer {} is {} for {} min", t.place,
                         names[static_cast<std::size_t>(t.ailment)], t.for_min);
    }
    std::string operator()(const NetworkIsBad& n) const {
      return fmt::format("network: {} % lost, {} % doubled, {} % late for {} min", n.lost,
                         n.doubled, n.late, n.for_min);
    }
    std::string operator()(const BrokerAils& b) const {
      constexpr std::array names{"is away", "refuses", "is slow", "forgets", "tells an old will"};
      return fmt::format("broker {} for {} min", names[static_cast<std::size_t>(b.fault)],
                         b.for_min);
    }
    std::string operator()(const DiskAils& d) const {
      return fmt::format("disk is {} for {} min", d.fault == DiskFault::full ? "full" : "read only",
                         d.for_min);
    }
    std::string operator()(const Dies& d) const {
      return fmt::format("{} at change {}, down for {} min",
                         d.power_cut ? "power is cut" : "process is killed", d.at_change,
                         d.down_min);
    }
    std::string operator()(const WriteFails& w) const {
      return fmt::format("change {} of the disk fails", w.at_change);
    }
    std::string operator()(const Restarts& r) const {
      return fmt::format("restart, down for {} min", r.down_min);
    }
    std::string operator()(const ClockAils& c) const {
      if (c.fault == ClockFault::unset) return fmt::format("clock at 1970 for {} min", c.for_min);
      return fmt::format("clock off by {} s for {} min", c.by_s, c.for_min);
    }
  };
  return fmt::format("minute {:5}: {}", step.at_min, std::visit(Shown{}, step.what));
}

inline std::string shown(const Story& story) {
  std::string lines = fmt::format("seed {}, {} hours\n", story.seed, story.hours);
  for (const Step& step : story.steps) lines += "  " + shown(step) + "\n";
  return lines;
}

// --- making -------------------------------------------------------------------------------------

// Two working jars and two bottles, two rooms and a fridge: see world.hpp.
class Author {
 public:
  explicit Author(std::uint64_t seed) : dice_(seed, 1) { story_.seed = seed; }

  Story writes() {
    story_.hours = 24 * static_cast<int>(dice_.whole(2, 4));
    for (const char* jar : {"blue", "red"}) keeps_a_jar_going(jar);
    looks_after_the_grains();
    const auto mistakes = dice_.whole(2, 8);
    for (int i = 0; i < mistakes; ++i) says_something_wrong();
    const auto faults = dice_.whole(3, 14);
    for (int i = 0; i < faults; ++i) something_breaks();
    std::stable_sort(story_.steps.begin(), story_.steps.end(),
                     [](const Step& a, const Step& b) { return a.at_min < b.at_min; });
    return story_;
  }

 private:
  [[nodiscard]] int end_min() const { return story_.hours * 60; }

  void add(int at_min, EventKind what) {
    if (at_min < end_min()) story_.steps.push_back({at_min, next_++, std::move(what)});
  }

  // Reported in time, or hours later; with the time at which it happened, or without.
  void says(int happened_min, const std::string& fields) {
    if (dice_.happens(0.15)) {
      const int late = static_cast<int>(dice_.whole(10, 400));
      add(happened_min + late, Says{fields, dice_.happens(0.8) ? happened_min : -1});
    } else {
      add(happened_min, Says{fields, dice_.happens(0.2) ? happened_min : -1});
    }
  }

  void keeps_a_jar_going(const std::string& jar) {
    const std::string of_jar = fmt::format(R"("jar":"{}")", jar);
    const std::string bottle = jar == "blue" ? "bottle" : "flask";
    int now = static_cast<int>(dice_.whole(5, 600));
    while (now < end_min()) {
      says(now,
           fmt::format(R"("fact":"start",{},"grain_g":{:.1f})", of_jar, dice_.between(12.0, 40.0)));
      if (dice_.happens(0.3)) {
        says(now + 60, fmt::format(R"("fact":"move",{},"place":"larder")", of_jar));
      }
      if (dice_.happens(0.3)) {
        says(now + 90, fmt::format(R"("fact":"lid",{},"lid":"tight")", of_jar));
        if (dice_.happens(0.3)) {
          says(now + 300, fmt::format(R"("fact":"lid",{},"lid":"loose")", of_jar));
        }
      }
      const int ready = now + static_cast<int>(dice_.whole(10 * 60, 40 * 60));
      constexpr std::array signs{"still-milk", "thickened", "set", "whey-pockets", "whey-layer"};
      for (const char* sign : signs) {
        if (dice_.happens(0.35)) {
          says(static_cast<int>(dice_.whole(now + 60, ready)),
               fmt::format(R"("fact":"sign",{},"sign":"{}")", of_jar, sign));
        }
      }
      if (dice_.happens(0.3)) {
        says(ready - 20,
             fmt::format(R"("fact":"ph",{},"ph":{:.2f})", of_jar, dice_.between(3.8, 6.5)));
      }
      if (dice_.happens(0.1)) {
        says(ready, fmt::format(R"("fact":"discard",{},"why":"mould")", of_jar));
      } else {
        constexpr std::array verdicts{"early", "right", "late"};
        says(ready, fmt::format(R"("fact":"strain",{},"into":"{}","verdict":"{}","grain_g":{:.1f})",
                                of_jar, bottle, dice_.one_of(verdicts), dice_.between(18, 50)));
        if (dice_.happens(0.2)) {
          says(ready + 2, fmt::format(R"("fact":"second","jar":"{}","sugar_g":8)", bottle));
        }
        keeps_a_bottle(ready + 5, fmt::format(R"("jar":"{}")", bottle));
        if (dice_.happens(0.3)) says(ready + 15, fmt::format(R"("fact":"wash",{})", of_jar));
      }
      now = ready + static_cast<int>(dice_.whole(10, 300));
    }
  }

  // Stored, perhaps taken out for an hour, and most often finished before the next kefir comes.
  void keeps_a_bottle(int now, const std::string& of_bottle) {
    says(now, fmt::format(R"("fact":"store",{})", of_bottle));
    if (dice_.happens(0.3)) {
      says(now + 40, fmt::format(R"("fact":"take",{})", of_bottle));
      says(now + 100, fmt::format(R"("fact":"store",{})", of_bottle));
    }
    if (dice_.happens(0.5)) {
      says(now + 110, fmt::format(R"("fact":"pour",{},"ml":{})", of_bottle, dice_.whole(50, 600)));
    }
    if (dice_.happens(0.85)) {
      says(now + static_cast<int>(dice_.whole(120, 1400)),
           fmt::format(R"("fact":"finish",{})", of_bottle));
    }
  }

  void looks_after_the_grains() {
    constexpr std::array deeds{R"("fact":"weigh","culture":"tilly","grain_g":55)",
                               R"("fact":"weigh","culture":"otto","grain_g":11.5)",
                               R"("fact":"spare","culture":"tilly","use":"eaten","grain_g":5)",
                               R"("fact":"spare","culture":"otto","use":"frozen","all":true)",
                               R"("fact":"split","culture":"tilly","into":"otto","grain_g":10)",
                               R"("fact":"rest","culture":"otto")",
                               R"("fact":"wake","culture":"otto")",
                               R"("fact":"rest","culture":"tilly")",
                               R"("fact":"inspect","culture":"tilly","colour":"cream")",
                               R"("fact":"inspect","culture":"otto","smell":"strongly-yeasty")",
                               R"("fact":"inspect","culture":"otto","colour":"pink")",
                               R"("fact":"start","jar":"red","culture":"otto","grain_g":10)"};
    const auto deeds_done = dice_.whole(2, 10);
    for (int i = 0; i < deeds_done; ++i) {
      says(static_cast<int>(dice_.whole(0, end_min())), dice_.one_of(deeds));
    }
  }

  void says_something_wrong() {
    constexpr std::array wrong{R"("fact":"strain","jar":"bottle")",
                               R"("fact":"start","jar":"green")",
                               R"("fact":"start","jar":"blue","milk_ml":-3)",
                               R"("fact":"sign","jar":"blue","sign":"lumpy")",
                               R"("fact":"ph","jar":"red","ph":1e308)",
                               R"("fact":"start","jar":"red","grain_g":[[[[]]]])",
                               R"("fact":"retract")",
                               R"("fact":"take","jar":"red")",
                               R"("fact":"discard","jar":"flask","why":"\u0007<script>\u001b[31m")",
                               R"("fact":"weigh","culture":"tilly","grain_g":1e-300)",
                               R"("fact":"spare","culture":"tilly","use":"eaten","grain_g":1e9)",
                               R"("fact":"split","culture":"otto","into":"otto","grain_g":3)",
                               R"("fact":"inspect","culture":"tilly")",
                               R"("fact":"wake","culture":"nobody")",
                               R"("fact":"wash","jar":"green")"};
    const int at = static_cast<int>(dice_.whole(0, end_min()));
    if (dice_.happens(0.25)) {
      // Takes back something reported at another time.
      add(at, Says{fmt::format(R"("fact":"retract","ref":"say-{}")", dice_.whole(0, 30)), -2});
    } else {
      add(at, Says{dice_.one_of(wrong), -1});
    }
  }

  [[nodiscard]] int minutes(int most) { return static_cast<int>(dice_.whole(1, most)); }

  void something_breaks() {
    const int at = static_cast<int>(dice_.whole(0, end_min() - 1));
    switch (dice_.whole(0, 11)) {
      case 0:
      case 1:
        return add(at, ThermometerAils{static_cast<int>(dice_.whole(0, 2)),
                                       static_cast<Ailment>(dice_.whole(0, 6)), minutes(900)});
      case 2:
        return add(at, NetworkIsBad{static_cast<int>(dice_.whole(0, 60)),
                                    static_cast<int>(dice_.whole(0, 60)),
                                    static_cast<int>(dice_.whole(0, 60)), minutes(1200)});
      case 3:
      case 4:
        return add(at, BrokerAils{static_cast<BrokerFault>(dice_.whole(0, 4)), minutes(300)});
      case 5:
        return add(at, DiskAils{dice_.happens(0.5) ? DiskFault::full : DiskFault::read_only,
                                minutes(400)});
      case 6:
      case 7:
      case 8:
        return add(at, Dies{static_cast<int>(dice_.whole(1, 40)), dice_.happens(0.5),
                            minutes(dice_.happens(0.7) ? 5 : 300)});
      case 9:
        return add(at, Restarts{minutes(60)});
      default:
        return clock_breaks(at);
    }
  }

  void clock_breaks(int at) {
    switch (dice_.whole(0, 2)) {
      case 0:
        return add(at, ClockAils{ClockFault::unset, 0, minutes(120)});
      case 1:
        return add(at, ClockAils{ClockFault::steps, static_cast<int>(dice_.whole(-4000, 4000)),
                                 minutes(300)});
      default:
        return add(at, ClockAils{ClockFault::leaps_a_day, dice_.happens(0.7) ? 86'400 : -86'400,
                                 minutes(200)});
    }
  }

  Dice dice_;
  Story story_{};
  int next_ = 0;
};

inline Story story_of(std::uint64_t seed) {
  return Author(seed).writes();
}

}  // namespace wheymark::faults
