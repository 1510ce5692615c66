#include "core/household/stock.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "core/household/not_souring.hpp"
#include "core/household/stored_kefir.hpp"
#include "core/record/amounts.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

using std::chrono::days;

// Two weeks show weekdays and weekends twice; three days show a habit at all (our estimates).
constexpr days learned_from{14};
constexpr double habit_d_min = 3.0;
// Kefir that was begun before that is drunk, or past its last day.
constexpr days begun_at_most_ago = learned_from + last_day_after + days{10};
// From the feeding to the bottle (common practice).
constexpr double batch_d = 1.0;
constexpr double measured_to_ml = 50.0;  // in kitchens

// What was drunk of a batch in a window, as far as somebody has said so.
double drunk_ml(const Batch& batch, Instant from, Instant to) {
  double ml = 0.0;
  Instant opened = batch.strained->at;
  for (const Poured& glass : batch.poured) {
    if (glass.at > from && glass.at <= to) ml += glass.ml;
    opened = std::max(opened, glass.at);
  }
  if (!batch.ended || batch.ended->how != Ending::finished || batch.ended->at > to) return ml;
  const double rest_h = hours_between(opened, batch.ended->at);
  const double rest_in_window_h = hours_between(std::max(opened, from), batch.ended->at);
  if (rest_in_window_h < 0.0) return ml;
  return ml + batch.ml_now() * (rest_h > 0.0 ? std::min(1.0, rest_in_window_h / rest_h) : 1.0);
}

// What must be thrown out: suspect, plain milk that stood warm, or too old.
bool is_to_be_thrown_out(const Batch& batch, const Household& household, Instant now) {
  if (household.book().suspicion(batch) != nullptr || not_souring(household, batch)) return true;
  const auto out = household.left_out(batch);
  if (out && now >= out->too_old) return true;
  return !batch.stored.empty() && now >= stored_kefir(household, batch, now).last_day;
}

struct Habit {
  std::optional<double> ml_per_d;
  double feeding_every_d = 1.0;
};

Habit habit_of(const JarBook& book, Instant now) {
  const Instant window = now - learned_from;
  std::optional<Instant> first_kefir;
  double ml = 0.0;
  int feedings = 0;
  for (auto batch = book.batches().rbegin(); batch != book.batches().rend(); ++batch) {
    if (!batch->share_of && batch->started < now - begun_at_most_ago) break;
    if (!batch->share_of && batch->started > window) ++feedings;
    if (!batch->strained || batch->strained->at > now || batch->remembered) continue;
    first_kefir = std::min(first_kefir.value_or(now), batch->strained->at);
    ml += drunk_ml(*batch, window, now);
  }
  Habit habit;
  if (!first_kefir) return habit;
  const double seen_d = hours_between(std::max(*first_kefir, window), now) / 24.0;
  if (seen_d < habit_d_min) return habit;
  if (ml > 0.0) habit.ml_per_d = ml / seen_d;
  if (feedings > 0) habit.feeding_every_d = std::max(seen_d, 1.0) / feedings;
  return habit;
}

}  // namespace

Stock stock_of(const Household& household, Instant now) {
  const JarBook& book = household.book();
  Stock stock;
  double working_ml = 0.0;
  for (const JarSetup& jar : household.setup().jars) {
    const Batch* batch = book.in_jar(jar.id);
    const Batch* elsewhere = book.without_bottle(jar.id);
    if (elsewhere != nullptr && !is_to_be_thrown_out(*elsewhere, household, now)) {
      stock.without_bottle_ml += elsewhere->ml_now();
    }
    if (batch == nullptr || is_to_be_thrown_out(*batch, household, now)) continue;
    (batch->strained ? stock.kefir_ml : working_ml) += batch->ml_now();
  }
  for (const StoredKefir& bottle : inventory(household, PlaceId(), now)) {
    if (is_to_be_thrown_out(*bottle.batch, household, now)) continue;
    stock.use_first = bottle.batch->jar();
    break;
  }
  const Habit habit = habit_of(book, now);
  stock.ml_per_d = habit.ml_per_d;
  if (!habit.ml_per_d) return stock;
  stock.lasts_d = stock.kefir_ml / *habit.ml_per_d;
  // What is fed now is drunk from tomorrow on, until the feeding after it is ready.
  const double left_then_ml =
      std::max(0.0, stock.kefir_ml + working_ml - batch_d * *habit.ml_per_d);
  const double wanted_ml = habit.feeding_every_d * *habit.ml_per_d - left_then_ml;
  stock.milk_ml = measured_to_ml * std::round(std::max(0.0, wanted_ml) / measured_to_ml);
  return stock;
}

std::string stock_sentence(const Stock& stock, const HouseholdSetup& setup) {
  const bool is_there = stock.kefir_ml > 0.0;
  std::string text =
      is_there ? volume_text(stock.kefir_ml) + " of kefir in all" : "There is no kefir to drink";
  if (is_there && stock.lasts_d) {
    const double d = std::round(*stock.lasts_d);
    const std::string days = d < 1.0   ? "less than a day's"
                             : d < 2.0 ? "about a day's"
                                       : fmt::format("about {:.0f} days'", d);
    text += fmt::format(", {} worth at {} a day", days, volume_text(*stock.ml_per_d));
  }
  if (stock.use_first) text += fmt::format("; use {} first", name_of_jar(*stock.use_first, setup));
  text += ".";
  if (stock.without_bottle_ml > 0.0) {
    text +=
        fmt::format(" Where {} more went, nobody has said.", volume_text(stock.without_bottle_ml));
  }
  if (!stock.milk_ml) return text;
  return text + (*stock.milk_ml > 0.0 ? fmt::format(" About {} of milk next keeps pace with that.",
                                                    volume_text(*stock.milk_ml))
                                      : " There is enough: the next milk is for the grains alone.");
}

}  // namespace wheymark
