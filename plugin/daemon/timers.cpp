#include "plugin/daemon/timers.hpp"

#include <algorithm>

#include "plugin/daemon/rfc3339.hpp"
#include "plugin/daemon/world_is_wrong.hpp"

namespace wheymark {
namespace {

// Several timers may be due at one instant, one call each, but never so many.
constexpr int ticks_per_instant_max = 10'000;

}  // namespace

void fire_timers(LoadedInstance& instance, std::int64_t& now_ms, std::int64_t until_ms,
                 const std::function<bool()>& after_each) {
  int ticks_at_this_instant = 0;
  for (;;) {
    const std::int64_t due_ms = instance.next_tick_ms();
    if (due_ms > until_ms || instance.frozen()) break;
    const std::int64_t at_ms = std::max(now_ms, due_ms);
    ticks_at_this_instant = at_ms == now_ms ? ticks_at_this_instant + 1 : 1;
    if (ticks_at_this_instant > ticks_per_instant_max) {
      throw WorldIsWrong("the library asks for a timer at " + rfc3339_from_instant_ms(at_ms) +
                         " again and again");
    }
    now_ms = at_ms;
    instance.tick(now_ms);
    if (!after_each()) return;
  }
  if (!instance.frozen()) now_ms = std::max(now_ms, until_ms);
}

}  // namespace wheymark
