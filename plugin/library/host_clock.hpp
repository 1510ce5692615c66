// What time is it, when the host's clock steps?
//
// A clock that is set forward is believed: it was wrong before, or the machine slept. One that
// falls behind what was already known may have just booted without its time, or may have come back
// from a leap ahead. So time stands still until the clock has caught up; a clock that stays behind
// for half an hour is believed, because a leap ahead must not stop the household for as long as it
// was.
#pragma once

#include <chrono>
#include <optional>
#include <string>

#include "core/basis/units.hpp"

namespace wheymark {

// While the clock is not set (it shows an impossible instant), `now` is the last possible one.
struct HostTime {
  Instant now{};
  bool is_set = true;  // until a clock says otherwise
  // What comes now may have waited at the broker, and may have been said at any time since then.
  std::optional<Instant> not_before = std::nullopt;
};

class HostClock {
 public:
  // From the journal, in its order. `was`: something was reported or announced at this instant.
  // `has_been`: a thermometer measured at this instant, and may have sent that later.
  void was(Instant instant);
  void has_been(Instant instant);

  // The instant to go by when the host's clock says `clock`.
  Instant reads(Instant clock);

  // Of all that it was told and has read; nothing before there was anything.
  [[nodiscard]] std::optional<Instant> latest() const {
    return latest_ == Instant{} ? std::nullopt : std::optional(latest_);
  }
  // When the clock, as it goes now, will be believed although it fell behind; nothing while it is
  // not behind.
  [[nodiscard]] std::optional<Instant> believed_from() const;

  // What is worth a line in the log since the last call; empty when nothing is.
  [[nodiscard]] std::string news();

 private:
  Instant latest_{};
  bool has_been_read_ = false;
  std::optional<Instant> behind_since_;  // by the clock itself
  std::string news_;
};

}  // namespace wheymark
