#include "core/household/stored_kefir.hpp"

#include <algorithm>

#include "core/household/household.hpp"

namespace wheymark {

StoredKefir stored_kefir(const Household& household, const Batch& stored, Instant now) {
  const Instant since = stored.stored.front().at;
  const double age_d = std::max(0.0, hours_between(since, now)) / 24.0;
  const Instant by_the_calendar = since + best_by_after;
  StoredKefir out{&stored,
                  since,
                  age_d,
                  age_d,
                  by_the_calendar,
                  since + last_day_after,
                  household.book().suspicion(stored),
                  false};
  const RunningBatch* running = household.running(stored);
  const Ageing* ageing = running == nullptr ? nullptr : running->ageing();
  if (ageing == nullptr) return out;
  const double effective_d = household.effective_age_h(stored, now) / 24.0;
  if (effective_d > age_d) out.effective_age_d = effective_d;
  out.best_by = ageing->reaches_best_by();
  out.last_day = ageing->reaches_last_day();
  out.shortened = by_the_calendar - out.best_by >= std::chrono::days{1};
  return out;
}

std::vector<StoredKefir> inventory(const Household& household, const PlaceId& fridge, Instant now) {
  std::vector<StoredKefir> bottles;
  for (const JarSetup& jar : household.setup().jars) {
    const Batch* batch = household.book().in_jar(jar.id);
    if (batch == nullptr || !batch->in_fridge) continue;
    if (fridge.empty() || batch->place() == fridge)
      bottles.push_back(stored_kefir(household, *batch, now));
  }
  std::stable_sort(bottles.begin(), bottles.end(), [](const StoredKefir& a, const StoredKefir& b) {
    return a.effective_age_d > b.effective_age_d;
  });
  return bottles;
}

// By common practice; acidity goes on rising in the cold, most in the first week or two, and the
// yeasts' gas for longer.
std::string_view flavour_by_now(double effective_age_d) {
  if (effective_age_d < 2.0) return "mild and fresh";
  if (effective_age_d < 7.0) return "a little sourer and thicker, perhaps with a tingle";
  if (effective_age_d < 14.0)
    return "sour, thick and fizzy; it may separate, which is usual: shake it";
  return "very sour, perhaps yeasty; it is likely to separate, which is usual: shake it gently";
}

}  // namespace wheymark
