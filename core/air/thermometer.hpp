// Whether a thermometer can be believed.
//
// It is silent when it has sent nothing for longer than its rhythm or its setup allows, and not
// understood when it spoke in that time, but no reading could be found in it; implausible while its
// readings cannot be the air of a kitchen or a fridge, make sense in another unit only, or jump
// about; stuck when it goes on repeating one value although it used to move. A lone jump is not
// believed, one that stays is. What was last believed holds in between.
//
// A reading counts from when it was measured; that something of use has come at all counts from
// when it came: a thermometer whose clock is an hour late is not silent.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "core/air/rhythm.hpp"
#include "core/basis/units.hpp"
#include "core/basis/words.hpp"

namespace wheymark {

enum class ThermometerStatus { good, silent, not_understood, stuck, implausible, none };

template <>
struct Vocabulary<ThermometerStatus> {
  static constexpr std::array words{
      Word<ThermometerStatus>{ThermometerStatus::good, "good"},
      Word<ThermometerStatus>{ThermometerStatus::silent, "silent"},
      Word<ThermometerStatus>{ThermometerStatus::not_understood, "not-understood"},
      Word<ThermometerStatus>{ThermometerStatus::stuck, "stuck"},
      Word<ThermometerStatus>{ThermometerStatus::implausible, "implausible"},
      Word<ThermometerStatus>{ThermometerStatus::none, "none"}};
};

class Thermometer {
 public:
  // A place without a thermometer has one that does not exist: its status is `none`.
  Thermometer(bool exists, std::optional<std::chrono::minutes> silent_after)
      : exists_(exists), rhythm_(silent_after) {}

  static bool plausible(Celsius air);

  // Whether a reading that comes next is believed: plausible, and no jump that nothing confirms.
  [[nodiscard]] bool believes(Instant at, Celsius air) const;

  // A believed reading, perhaps with a doubt for what its message shows.
  void read(Instant at, Celsius air, double doubt_k = 0.0);
  void doubted(Instant at, Celsius air);  // one that is not
  void heard(Instant now);                // one of either has just come
  // It has just sent something in which there is no reading; `what` is wrong with that.
  void heard_nonsense(Instant now, const std::string& what);
  // Its hub says this instead of a reading ("offline"); an empty text: it is there again.
  void is_away(const std::string& said) { away_ = said; }
  // Where a place has several: which of them do not count; an empty text: all do.
  void are_at_odds(const std::string& which) { at_odds_ = which; }
  void clock_went_back(Instant now);  // what was heard later counts as heard now

  // Never `good` without a reading that is fresh enough.
  [[nodiscard]] ThermometerStatus status(Instant now) const;
  // When the status changes if nothing more comes; nothing when it does not.
  [[nodiscard]] std::optional<Instant> changes_at(Instant now) const;
  // Until when it stays `good` if nothing more comes; nothing when it is not.
  [[nodiscard]] std::optional<Instant> good_until() const;
  // From when on its last reading loses weight if no other comes; nothing without one.
  [[nodiscard]] std::optional<Instant> doubted_from() const;
  // When its silence is announced if nothing more comes; nothing when it does not exist.
  // `listening_since`: silence before that does not count, because nobody listened.
  [[nodiscard]] std::optional<Instant> silent_from(Instant listening_since) const;

  [[nodiscard]] std::optional<Instant> last_read() const { return last_read_; }
  // The instant of its last reading, believed or not.
  [[nodiscard]] std::optional<Instant> last_said() const;
  [[nodiscard]] std::optional<Instant> doubted_since() const { return doubted_since_; }
  // The reading that is not believed; of use while doubted_since() is.
  [[nodiscard]] Celsius doubted_air() const { return doubted_air_; }
  // What it sends instead of readings since the last; nothing: it sends readings, or nothing.
  struct Nonsense {
    Instant since;
    Instant last;
    std::string what;  // is wrong with the first of it
  };
  [[nodiscard]] const std::optional<Nonsense>& nonsense() const { return nonsense_; }
  [[nodiscard]] const std::string& away() const { return away_; }
  [[nodiscard]] const std::string& at_odds() const { return at_odds_; }
  [[nodiscard]] Milliseconds silent_after() const { return rhythm_.silent_after(); }
  [[nodiscard]] bool jumps_about() const { return doubted_since_ && jumpy_until_.has_value(); }
  // When it was found to be stuck.
  [[nodiscard]] std::optional<Instant> stuck_since() const { return stuck_since_; }

  // By how many kelvin (one standard deviation) the air may be off from what was last believed,
  // only because the thermometer is in doubt: 0 while its readings are fresh and believed, then
  // growing. For forecasts, so it depends only on what is recorded.
  [[nodiscard]] double doubt_k(Instant now) const;

  // The last believed reading, and what was in doubt until then.
  struct Return {
    Instant at;
    std::optional<Instant> read_before;
    std::optional<Instant> doubted_since;
    std::optional<Instant> stuck_since;
  };
  [[nodiscard]] const std::optional<Return>& last_return() const { return last_return_; }

 private:
  struct Jump {
    Instant at;
    Celsius air;
  };
  // After the clock has gone back, forgets jumps that are still to come.
  void begin_word(Instant at);
  [[nodiscard]] bool jumps(Instant at, Celsius air) const;
  [[nodiscard]] bool confirms_jump(Celsius air) const;
  // Follows how long it repeats one value, and how long it usually does.
  void watch_for_sticking(Instant at, Celsius air);
  [[nodiscard]] Milliseconds stuck_after() const;
  // When it last counted as not silent.
  [[nodiscard]] std::optional<Instant> alive_at() const;

  bool exists_;
  Rhythm rhythm_;
  double reading_doubt_k_ = 0.0;  // of its last reading
  std::optional<Nonsense> nonsense_;
  std::string away_;
  std::string at_odds_;
  std::optional<Instant> last_read_;
  std::optional<Instant> last_said_;
  Celsius last_air_{0.0};  // of use once last_read_ is
  std::optional<Instant> doubted_since_;
  Celsius doubted_air_{0.0};
  std::optional<Jump> jump_;         // the last reading, if it jumped and nothing confirmed it yet
  std::vector<Instant> lone_jumps_;  // of the last hours
  std::optional<Instant> jumpy_until_;
  int changes_ = 0;
  Milliseconds same_for_{0};
  Milliseconds same_for_longest_{0};
  double step_k_smallest_ = 1e9;
  std::optional<Instant> stuck_since_;
  std::optional<Instant> last_heard_;
  // Its last reading came from a wrong clock: its silence counts from this instead.
  std::optional<Instant> clock_went_back_at_;
  std::optional<Return> last_return_;
};

}  // namespace wheymark
