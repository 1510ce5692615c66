// Whether a thermometer can be believed.
//
// It is silent when it has said nothing for longer than its plan allows, implausible while what it
// says cannot be the air of a kitchen or a fridge. What it said last good is believed in between. A
// reading counts from when it was measured; that something of use has come at all is another
// matter, and counts from when it came: a thermometer whose clock is an hour late is not silent.
#pragma once

#include <chrono>
#include <optional>

#include "core/basis/units.hpp"
#include "core/basis/words.hpp"

namespace wheymark {

enum class Trust { good, silent, implausible, none };

template <>
struct Vocabulary<Trust> {
  static constexpr std::array words{
      Word<Trust>{Trust::good, "good"}, Word<Trust>{Trust::silent, "silent"},
      Word<Trust>{Trust::implausible, "implausible"}, Word<Trust>{Trust::none, "none"}};
};

class Thermometer {
 public:
  // A place without a thermometer has one that does not exist: its trust is `none`.
  Thermometer(bool exists, std::chrono::minutes silent_after)
      : exists_(exists), silent_after_(silent_after) {}

  static bool plausible(Celsius air);

  void read(Instant at);     // a believed reading
  void doubted(Instant at);  // an implausible one
  void heard(Instant now);   // one of either has just come

  // Never `good` without a reading that is fresh enough.
  [[nodiscard]] Trust trust(Instant now) const;
  // Until when it stays `good` if nothing more comes; nothing when it is not.
  [[nodiscard]] std::optional<Instant> good_until() const;
  // When its silence is worth a word if nothing more comes; nothing when it does not exist.
  // `listening_since`: before that nobody heard what it said, so its silence did not count.
  [[nodiscard]] std::optional<Instant> silent_from(Instant listening_since) const;

  [[nodiscard]] std::optional<Instant> last_read() const { return last_read_; }
  // The instant of its last word, believed or not.
  [[nodiscard]] std::optional<Instant> last_said() const;
  [[nodiscard]] std::optional<Instant> doubted_since() const { return doubted_since_; }

  // The last believed reading, and how things stood until then.
  struct Return {
    Instant at;
    std::optional<Instant> read_before;
    std::optional<Instant> doubted_since;
  };
  [[nodiscard]] const std::optional<Return>& last_return() const { return last_return_; }

 private:
  bool exists_;
  std::chrono::minutes silent_after_;
  std::optional<Instant> last_read_;
  std::optional<Instant> doubted_since_;
  std::optional<Instant> last_heard_;
  std::optional<Return> last_return_;
};

}  // namespace wheymark
