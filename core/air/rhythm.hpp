// After how long without a word is this thermometer silent?
//
// Some speak each minute, some once an hour, some on a change and at least each few hours. So each
// is held against what it did in the last days: silence is clearly longer than its longest pause
// but one. But one, because a single long pause is often ours (a hub that was off), and a rhythm
// comes again. One whose pauses differ much is given more time than a clockwork.
//
// Until it is known, an hourly one must not be called silent; so the first patience is long.
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <optional>

#include "core/basis/units.hpp"

namespace wheymark {

class Rhythm {
 public:
  // With `configured`, that is the answer, whatever it does.
  explicit Rhythm(std::optional<std::chrono::minutes> configured = {}) : configured_(configured) {
    silent_after_ = configured ? Milliseconds(*configured) : Milliseconds(until_known);
  }

  // It spoke; in the order of time. After a clock has gone back, counting goes on from there.
  void spoke(Instant at);

  [[nodiscard]] Milliseconds silent_after() const { return silent_after_; }

  static constexpr std::chrono::minutes until_known{150};

 private:
  struct Day {
    std::int64_t number = -1;  // days since 1970
    int pauses = 0;
    Milliseconds sum{0};
    Milliseconds longest{0};
    Milliseconds second{0};
  };
  [[nodiscard]] Milliseconds learned() const;

  std::optional<std::chrono::minutes> configured_;
  std::optional<Instant> last_;
  std::array<Day, 5> days_;  // readings of earlier days may be thinned, see thinning.hpp
  Milliseconds silent_after_;
};

}  // namespace wheymark
