#include "core/air/rhythm.hpp"

#include <algorithm>

namespace wheymark {
namespace {

// All of these are our estimates.
constexpr int pauses_until_known = 6;
constexpr std::chrono::minutes silent_after_at_least{45};
constexpr std::chrono::hours silent_after_at_most{24};
constexpr double times_longer_than_ever = 2.5;
constexpr double times_longer_if_irregular = 8.0;
constexpr double irregular_from = 2.0;  // its longest pauses against its mean one

std::int64_t day_of(Instant at) {
  return std::chrono::floor<std::chrono::days>(at).time_since_epoch().count();
}

}  // namespace

void Rhythm::spoke(Instant at) {
  if (configured_) return;
  const std::optional<Instant> before = last_;
  last_ = at;
  if (!before || at <= *before) return;
  const std::int64_t number = day_of(at);
  Day& day = days_[static_cast<std::size_t>(number) % days_.size()];
  if (day.number != number) day = Day{number, 0, {}, {}, {}};
  const Milliseconds pause = at - *before;
  ++day.pauses;
  day.sum += pause;
  day.second = std::max(day.second, std::min(day.longest, pause));
  day.longest = std::max(day.longest, pause);
  silent_after_ = learned();
}

Milliseconds Rhythm::learned() const {
  const std::int64_t today = day_of(*last_);
  const auto first_day = today - static_cast<std::int64_t>(days_.size()) + 1;
  int pauses = 0;
  Milliseconds sum{0};
  Milliseconds longest{0};
  Milliseconds second{0};
  for (const Day& day : days_) {
    if (day.number < first_day || day.number > today) continue;
    pauses += day.pauses;
    sum += day.sum;
    second = std::max({second, std::min(longest, day.longest), day.second});
    longest = std::max(longest, day.longest);
  }
  if (pauses < pauses_until_known) return until_known;
  // Without the longest, which may be an absence.
  const double mean_ms =
      static_cast<double>((sum - longest).count()) / static_cast<double>(pauses - 1);
  const auto usual_ms = static_cast<double>(second.count());
  const double times =
      usual_ms > irregular_from * mean_ms ? times_longer_if_irregular : times_longer_than_ever;
  const Milliseconds learned{static_cast<Milliseconds::rep>(times * usual_ms)};
  return std::clamp<Milliseconds>(learned, silent_after_at_least, silent_after_at_most);
}

}  // namespace wheymark
