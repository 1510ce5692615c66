#include "plugin/library/host_clock.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <utility>

namespace wheymark {
namespace {

using std::chrono::minutes;
using std::chrono::seconds;

constexpr minutes behind_max{30};      // a time server is asked within minutes after a boot
constexpr seconds told_when_back{60};  // less is a clock being trimmed
constexpr std::chrono::hours told_when_ahead{6};  // some thermometer speaks more often

double minutes_in(Milliseconds time) {
  return static_cast<double>(time.count()) / 60'000.0;
}

}  // namespace

void HostClock::was(Instant instant) {
  latest_ = instant;
}

void HostClock::has_been(Instant instant) {
  latest_ = std::max(latest_, instant);
}

Instant HostClock::reads(Instant clock) {
  if (clock >= latest_) {
    if (has_been_read_ && clock - latest_ >= told_when_ahead) {
      news_ = fmt::format("the clock is {:.0f} min later than when it was last looked at",
                          minutes_in(clock - latest_));
    }
    has_been_read_ = true;
    behind_since_.reset();
    return latest_ = clock;
  }
  if (!behind_since_ && latest_ - clock >= told_when_back) {
    news_ = fmt::format(
        "the clock is {:.0f} min behind what happened last; time stands still until it has caught "
        "up, or has stayed behind for {} min",
        minutes_in(latest_ - clock), behind_max.count());
  }
  behind_since_ = std::min(behind_since_.value_or(clock), clock);
  if (clock < *behind_since_ + behind_max) return latest_;
  news_ = fmt::format(
      "the clock stays {:.0f} min behind, so it is believed; readings from later "
      "than now are forgotten as new ones come",
      minutes_in(latest_ - clock));
  behind_since_.reset();
  return latest_ = clock;
}

std::optional<Instant> HostClock::believed_from() const {
  if (!behind_since_) return std::nullopt;
  return *behind_since_ + behind_max;
}

std::string HostClock::news() {
  return std::exchange(news_, {});
}

}  // namespace wheymark
