// Does the broker still hold the `$state` that we published, or has somebody overwritten it? And
// then, when must it be published again?
//
// The will of an earlier connection can come late, long after we have said "ready", and would then
// stand as "lost" for days. So we listen to our own topic. What we said comes back to us as an
// echo, in order; whatever is no echo of ours and is not what we said last is a stranger's. Repairs
// keep a distance, since two daemons by mistake on one root device would otherwise correct each
// other without a pause.
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

  // Takes what came on the topic. True when it must be published again.
  bool overwritten_by(std::string_view payload, bool retained);

  [[nodiscard]] const std::string& last_said() const { return last_said_; }

  // It was overwritten: plans to say it again, as soon as that may be.
  void plan_repair(Instant now);
  // Whether it must be said again by now; then it counts as said again now.
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
