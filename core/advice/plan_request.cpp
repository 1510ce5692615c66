#include "core/advice/plan_request.hpp"

#include <algorithm>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "core/record/local_time.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

// To look, to find the strainer, to strain.
constexpr std::chrono::minutes straining_takes{20};
// Kefir that is strained so long before the hour asked for is ready by it.
constexpr std::chrono::hours ready_before_max{2};

bool settled(Varied what, const PlanRequest& request) {
  switch (what) {
    case Varied::grain:
      return request.grain_g.has_value();
    case Varied::milk:
      return request.milk_ml.has_value();
    case Varied::place:
      return request.place.has_value();
    case Varied::start:
      return request.start_at.has_value();
  }
  return true;
}

}  // namespace

bool PlanRequest::may_vary(Varied what) const {
  return std::find(vary.begin(), vary.end(), what) != vary.end() && !settled(what, *this);
}

Outcome ready_by_in_range(std::optional<Instant> ready_by, Instant now,
                          const HouseholdSetup& setup) {
  if (!ready_by) return Nothing{};
  const Instant latest = now + limits::forecast_ahead_max;
  if (*ready_by > now && *ready_by <= latest) return Nothing{};
  return Refusal{fmt::format("ready_by is {}, {}; it is {}; allowed: until {}",
                             day_and_clock_text(*ready_by, setup),
                             *ready_by <= now ? "which is past" : "which is too far ahead",
                             day_and_clock_text(now, setup), day_and_clock_text(latest, setup))};
}

std::vector<Attended> attended_for(std::optional<Instant> ready_by, Instant from,
                                   const HouseholdSetup& setup) {
  if (ready_by) {
    Instant begins = std::max(from, *ready_by - ready_before_max);
    for (const Night& night : nights_between(begins, *ready_by, setup)) {
      // Asked for at night, it is strained at that hour.
      begins = std::min(*ready_by, std::max(begins, night.until));
    }
    return {{begins, *ready_by}};
  }
  const Instant end = from + 2 * limits::forecast_ahead_max;
  std::vector<Attended> attended;
  Instant begins = from;
  for (const Night& night : nights_between(from, end, setup)) {
    if (night.from - straining_takes > begins) {
      attended.push_back({begins, night.from - straining_takes});
    }
    begins = std::max(from, night.until) + straining_takes;
  }
  attended.push_back({begins, std::max(begins, end)});
  return attended;
}

}  // namespace wheymark
