// The sentences about bottles in the fridge, about lids, and about washing.
#include <algorithm>
#include <fmt/format.h>

#include "core/announce/cautions.hpp"
#include "core/announce/describe.hpp"
#include "core/basis/check.hpp"
#include "core/basis/constants.hpp"
#include "core/household/household.hpp"
#include "core/household/stored_kefir.hpp"
#include "core/household/suspect_words.hpp"
#include "core/jar/vessel.hpp"
#include "core/kinetics/gas.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

constexpr double usual_room_c = 22.0;

// Whether nothing was stored before this batch.
bool is_first_stored(const Batch& batch, const Household& household) {
  const std::vector<Batch>& all = household.book().batches();
  return std::none_of(all.begin(), all.end(), [&](const Batch& other) {
    return !other.stored.empty() && other.stored.front().at < batch.stored.front().at;
  });
}

// "in the fridge since" only of what is there now.
std::string when_stored(const Batch& batch, const Stored& stored, const HouseholdSetup& setup) {
  const std::string name = name_of_jar(stored.jar, setup);
  const std::string at = day_and_clock_text(stored.at, setup);
  const bool is_there = batch.in_fridge && !batch.ended && &stored == &batch.stored.back();
  return is_there ? fmt::format("{}: in the fridge since {}.", name, at)
                  : fmt::format("{}: it went to the fridge on {}.", name, at);
}

// The dates, each as still to come or as passed.
std::string dates(const StoredKefir& bottle, Instant now, const HouseholdSetup& setup) {
  const std::string best_by = day_text(bottle.best_by, setup);
  const std::string last_day = day_text(bottle.last_day, setup);
  if (now < bottle.best_by) return fmt::format(" Best by {}, last day {}.", best_by, last_day);
  if (now < bottle.last_day) {
    return fmt::format(" It is past its best since {}; the last day is {}.", best_by, last_day);
  }
  return fmt::format(" Its last day was {}: common practice is to discard it now.", last_day);
}

void tell_stored(const Household& household, const Batch& batch, const StoredKefir& bottle,
                 Announcement& out, Instant now) {
  const HouseholdSetup& setup = household.setup();
  const auto stored = std::find_if(batch.stored.begin(), batch.stored.end(),
                                   [&](const Stored& s) { return s.at == out.time; });
  check(stored != batch.stored.end(), "a storing that is told happened");
  out.text = when_stored(batch, *stored, setup);
  if (const Suspicion* suspicion = household.book().suspicion(batch)) {
    out.text += fmt::format(" It is suspect: {}; {}.", what_was_seen(*suspicion, setup),
                            what_to_do(&batch));
    out.caution = cautions::suspect;
    return;
  }
  if (batch.ended) return;
  out.text += dates(bottle, now, setup);
  const bool back = stored != batch.stored.begin();
  if (back) {
    out.text += fmt::format(" It was first stored on {}, and that counts.",
                            day_text(batch.stored.front().at, setup));
  }
  if (now >= bottle.best_by) {
    out.caution = cautions::old_kefir;
  } else if (!back && is_first_stored(batch, household)) {
    out.caution = cautions::stored;
  }
}

// " It should be sour and thick by now."
std::string flavour(const StoredKefir& bottle) {
  return fmt::format(" By now it should be {}.", flavour_by_now(bottle.effective_age_d));
}

}  // namespace

void describe_bottle(const Household& household, const Batch& batch, Announcement& out,
                     Instant now) {
  const HouseholdSetup& setup = household.setup();
  const StoredKefir bottle = stored_kefir(household, batch, now);
  const std::string name = name_of_jar(batch.jar(), setup);
  const std::string since = day_text(bottle.stored, setup);
  add_detail(out, "stored", bottle.stored);
  add_detail(out, "age_d", bottle.age_d);
  add_detail(out, "effective_age_d", bottle.effective_age_d);
  add_detail(out, "best_by", bottle.best_by);
  add_detail(out, "last_day", bottle.last_day);
  const std::string_view warm = bottle.shortened ? " (earlier, because it was warm)" : "";
  switch (out.kind) {
    case EventKind::stored:
      return tell_stored(household, batch, bottle, out, now);
    case EventKind::best_by_near:
      out.text = fmt::format("{}: kefir of {} is best by {}{}.{}", name, since,
                             day_text(bottle.best_by, setup), warm, flavour(bottle));
      return;
    case EventKind::best_by_passed:
      out.text = fmt::format(
          "{}: kefir of {} is past its best{}; the last day is {}. Good for baking, if it looks "
          "and smells as it should.",
          name, since, warm, day_text(bottle.last_day, setup));
      return;
    case EventKind::last_day_near:
      out.text = fmt::format("{}: kefir of {} has its last day on {}{}.{}", name, since,
                             day_text(bottle.last_day, setup), warm, flavour(bottle));
      out.caution = cautions::old_kefir;
      return;
    case EventKind::last_day_passed:
      out.text = fmt::format(
          "{}: kefir of {} is beyond its last day{}. Common practice is to discard it now.", name,
          since, warm);
      out.caution = cautions::old_kefir;
      return;
    default:
      check(false, "a bottle tells of its days");
  }
}

void describe_lid(const Household& household, const Batch& batch, Announcement& out, Instant now) {
  const std::string name = name_of_jar(batch.jar(), household.setup());
  const double hours = hours_between(batch.lid_since, out.time);
  const auto kpa = household.pressure_kpa(batch, now);
  add_detail(out, "lid_since", batch.lid_since);
  if (kpa) add_detail(out, "pressure_kpa", *kpa);
  out.text = hours < 48.0 ? fmt::format("{}: tightly closed for {:.0f} h", name, hours)
                          : fmt::format("{}: tightly closed for {:.0f} days", name, hours / 24.0);
  constexpr double worth_a_word_kpa = 15.0;  // the estimate is rougher than that
  if (kpa && *kpa >= worth_a_word_kpa) {
    out.text += fmt::format(" (pressure perhaps {:.1f} bar, a rough estimate)", *kpa / 100.0);
  }
  if (household.book().suspicion(batch) != nullptr) {
    out.text +=
        ". It is suspect: let the gas out slowly, and throw out what is in it; do not taste "
        "it.";
    out.caution = std::string(cautions::pressure);
    return cautions::add(*out.caution, cautions::suspect);
  }
  if (batch.in_second) {
    const auto quick_kpa = household.pressure_kpa(batch, now, Fizz::quick);
    out.text = fmt::format(
        "{}: in its second fermentation, closed for {:.0f} h{}. Open it slowly to let the gas out, "
        "and again every day; the fridge slows it and does not stop it.",
        name, hours,
        quick_kpa ? fmt::format(" (pressure perhaps {:.1f} bar)", *quick_kpa / 100.0) : "");
    out.caution = cautions::second_ferment;
    return;
  }
  out.text += batch.in_fridge ? ". Open it slowly to let the gas out, and again every few days."
                              : ". Open it slowly to let the gas out, then leave the lid loose.";
  out.caution = cautions::pressure;
}

void describe_suspect(const Household& household, const Batch& batch, Announcement& out) {
  const HouseholdSetup& setup = household.setup();
  const Suspicion* why = household.book().suspicion(batch);
  check(why != nullptr && batch.strained, "what is suspect by itself is kefir");
  const CultureId& culture = *batch.start.culture;
  const std::string name = name_of_culture(culture, setup);
  const std::string reason = reason_to_discard(why->said);
  out.text = fmt::format(
      "{}: {} was told of. It is the batch of {} that was started {} and strained {}. Throw out "
      "what is in it, do not taste it, and wash it with hot water.",
      name_of_jar(batch.jar(), setup), reason, name, day_and_clock_text(batch.started, setup),
      day_and_clock_text(batch.strained->at, setup));
  out.text += household.book().grains(culture).suspected()
                  ? fmt::format(" The grains of {} are suspect already.", name)
                  : fmt::format(
                        " Of the grains of {} it says nothing for certain: look at them "
                        "today, and say what you see (\"inspect\"). With mould, or an "
                        "unusual colour or smell, they go as well.",
                        name);
  add_detail(out, "seen", reason);
  add_detail(out, "culture", culture.text());
  add_detail(out, "batch_started", batch.started);
  add_detail(out, "strained", batch.strained->at);
  out.caution = cautions::suspect;
}

// By the balance of sugar, never by a guess of how far it goes.
void describe_second(const Household& household, const Batch& batch, Announcement& out,
                     Instant now) {
  const HouseholdSetup& setup = household.setup();
  const std::string name = name_of_jar(batch.jar(), setup);
  const Sweetened& begun = batch.sweetened.back();
  const double kefir_l = *batch.start.milk_ml / 1000.0;
  add_detail(out, "sugar_g", begun.sugar_g);
  out.caution = cautions::second_ferment;
  if (out.kind == EventKind::second_ready) {
    out.text = fmt::format(
        "{}: the second fermentation has likely made it fizzy. Open it slowly and put it in the "
        "fridge, which slows it and does not stop it.",
        name);
    if (const auto kpa = household.pressure_kpa(batch, now, Fizz::quick)) {
      add_detail(out, "pressure_kpa", *kpa);
    }
    return;
  }
  double sugar_g = 0.0;
  for (const Sweetened& sweetened : batch.sweetened) sugar_g += sweetened.sugar_g;
  const double gas_g_per_l = carbon_dioxide_g_per_sucrose_g * sugar_g / kefir_l;
  constexpr double ethanol_g_per_ml = 0.789;  // from memory: tables of densities, 20 degC
  const double alcohol_percent =
      gas_g_per_l * ethanol_g_per_carbon_dioxide_g / ethanol_g_per_ml / 10.0;
  out.text =
      fmt::format("{}: {:.4g} g of sugar went in for a second fermentation.", name, begun.sugar_g);
  if (batch.lid == Lid::tight) {
    const double bar = tight_jar_gauge_bar(gas_g_per_l, *batch.start.milk_ml,
                                           capacity_ml(setup, batch.jar(), *batch.start.milk_ml),
                                           Celsius(usual_room_c), household.parameters());
    add_detail(out, "pressure_kpa_most", 100.0 * bar);
    out.text +=
        fmt::format(" The sugar alone can make {:.1f} bar. Open it slowly, every day.", bar);
  }
  out.text += fmt::format(" It can make {:.1f} % more alcohol.", alcohol_percent);
}

void describe_jar(const Household& household, const JarSetup& jar, Announcement& out) {
  check(out.kind == EventKind::wash_jar, "a jar tells of its washing");
  out.text = fmt::format(
      "{}: {} batches since it was washed. Wash it with hot water before the next one; the grains "
      "themselves are not rinsed.",
      jar.name, household.book().care(jar.id).batches);
}

}  // namespace wheymark
