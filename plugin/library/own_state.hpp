// Does the broker still hold the `$state` that we published, or has somebody overwritten it?
//
// The will of an earlier connection can come late, long after we have said "ready", and would then
// stand as "lost" for days. So we listen to our own topic. What we said comes back to us as an
// echo, in order; whatever is no echo of ours and is not what we said last is a stranger's.
#pragma once

#include <deque>
#include <string>
#include <string_view>

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

 private:
  std::string last_said_;
  std::deque<std::string> echoes_awaited_;
};

}  // namespace wheymark
