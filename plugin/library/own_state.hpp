// Does the broker still hold the `$state` that we published, or has somebody overwritten it? If so,
// when must it be published again?
//
// The will of an earlier connection can come late, long after we have published "ready", and would
// then show "lost" for days. So we subscribe to our own topic. What we published comes back as an
// echo, in order; whatever is no echo and not what we published last is somebody else's. Repairs
// are spaced, since two daemons by mistake on one root device would otherwise correct each other
// without a pause.
#pragma once

#include <deque>
#include <optional>
#include <string>
#include <string_view>

#include "core/basis/units.hpp"

namespace wheymark {

class OwnState {
 public:
  // A new connection: whatever was on its way before does not come back.
  void connected();
  // This was published just now.
  void said(const std::string& state);

  // Handles what came on the topic. True when ours must be published again.
  bool overwritten_by(std::string_view payload, bool retained);

  [[nodiscard]] const std::string& last_said() const { return last_said_; }

  // It was overwritten: schedules publishing it again, as soon as the spacing allows.
  void schedule_repair(Instant now);
  // Whether it must be published again by now; then it counts as published now.
  bool repair_is_due(Instant now);
  [[nodiscard]] std::optional<Instant> repair_at() const { return repair_at_; }
  void clock_went_back(Instant now);

 private:
  std::string last_said_;
  std::deque<std::string> echoes_awaited_;
  std::optional<Instant> repair_at_;
  Instant repaired_{};  // the last time
};

}  // namespace wheymark
