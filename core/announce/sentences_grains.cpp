// The sentences about a culture's grains.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "core/announce/cautions.hpp"
#include "core/announce/describe.hpp"
#include "core/announce/occurrence_ids.hpp"
#include "core/announce/sentences.hpp"
#include "core/basis/check.hpp"
#include "core/household/grain_needs.hpp"
#include "core/household/household.hpp"
#include "core/household/suspect_words.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

void tell_hungry(const Household& household, const CultureSetup& culture, Announcement& out) {
  const std::vector<Hunger> all = hungers(culture, household);
  const auto hungry = std::find_if(all.begin(), all.end(), [&](const Hunger& some) {
    const FactRef& since = some.since;
    return of_culture(culture.id, out.kind, some.hungry, since.at, since.fact).id == out.id;
  });
  check(hungry != all.end(), "hunger that is told is there");
  const std::string since = day_and_clock_text(hungry->since.at, household.setup());
  add_detail(out, "since", hungry->since.at);
  if (hungry->jar) add_detail(out, "jar", hungry->jar->text());
  switch (hungry->where) {
    case Hunger::Where::in_fridge:
      out.text = fmt::format(
          "{}: resting in the same milk since {}. Change the milk and say rest again, or wake "
          "them; "
          "some weeks of rest are no harm if the milk is changed.",
          culture.name, since);
      return;
    case Hunger::Where::without_milk:
      out.text = fmt::format(
          "{}: no milk told of since {}. Start a batch, or put the grains to rest in milk in the "
          "fridge.",
          culture.name, since);
      return;
    case Hunger::Where::in_cooled_jar:
      out.text = fmt::format(
          "{}: in {}, which stands in the fridge since {} with its grains in it. If it was "
          "forgotten: "
          "take it out to let it go on, or strain it and give the grains fresh milk.",
          culture.name, name_of_jar(*hungry->jar, household.setup()), since);
      return;
    case Hunger::Where::in_old_milk:
      out.text = fmt::format(
          "{}: in {} in the same milk since {} and long over-fermented; the grains starve. Strain "
          "them and give them fresh milk; the next batch may be slow.",
          culture.name, name_of_jar(*hungry->jar, household.setup()), since);
      return;
  }
}

void tell_surplus(const Household& household, const CultureSetup& culture, Announcement& out) {
  const double grain_g = household.book().grain_g(culture);
  const double more_g = grain_g - household.wanted_grain_g(culture.id);
  const std::vector<MassPoint>& masses = household.book().grains(culture.id).masses();
  const bool just_weighed =
      !masses.empty() && masses.back().mass.weighed_g && masses.back().mass.added_g == 0.0;
  out.text = fmt::format(
      "{}: about {:.0f} g of grains, some {:.0f} g more than the jars want{}. "
      "Give some away, eat them, freeze or dry a reserve, start another jar, or take more milk: "
      "all "
      "of them suit about {:.0f} mL.",
      culture.name, grain_g, more_g, just_weighed ? "" : "; weigh them to be sure",
      50.0 * std::round(milk_ml_for(grain_g) / 50.0));
  add_detail(out, "grain_g", grain_g);
  add_detail(out, "surplus_g", more_g);
}

std::string_view advice_for(const Inspect& said) {
  if (said.smell == GrainSmell::strongly_yeasty) {
    return "A strongly yeasty smell is not bad: the yeasts are ahead. Keep the jar cooler, strain "
           "earlier, leave the lid loose or take more milk for a few batches.";
  }
  if (said.smell == GrainSmell::strongly_sour) {
    return "A strongly sour smell is not bad: the milk was used up. Strain earlier, take more milk "
           "or fewer grains, or a cooler place, for a few batches.";
  }
  return "";
}

void tell_advice(const CultureSetup& culture, const Inspect& said, Announcement& out) {
  const std::string_view advice = advice_for(said);
  if (!advice.empty()) out.text = fmt::format("{}: {}", culture.name, advice);
  if (!said.sticky.value_or(false)) return;
  out.text += out.text.empty() ? culture.name + ": Sticky" : " Sticky";
  out.text += " or slimy grains are usual (it is kefiran); do not rinse them.";
}

// " Wash Blue jar and Red jar with hot water."
std::string jars_to_wash(const Household& household, const Suspicion& why) {
  std::vector<std::string> names;
  for (const JarSetup& jar : household.setup().jars) {
    const Batch* batch = household.book().in_jar(jar.id);
    const Suspicion* known = household.book().suspicion(jar.id);
    const bool of_kefir = batch != nullptr && batch->strained;
    if (known != nullptr && *known == why && !of_kefir) names.push_back(jar.name);
  }
  if (names.empty()) return "";
  return fmt::format(" Wash {} with hot water.", fmt::join(names, ", "));
}

std::string kefir_to_throw_out(const Household& household, const Suspicion& why,
                               const Grains& grains) {
  const HouseholdSetup& setup = household.setup();
  const std::vector<std::string> kefir = affected_kefir(why, household.book(), setup);
  if (kefir.empty()) return "";
  const auto& look = grains.last_good_look();
  return fmt::format(
      " Strained since they were last seen well ({}), this may be affected, so throw it "
      "out: {}.",
      look ? day_and_clock_text(*look, setup) : "nobody told of a look", fmt::join(kefir, ", "));
}

// Cultures that were split off them since the last good look.
std::string others_to_look_at(const Household& household, const CultureId& culture,
                              const Grains& grains) {
  std::string text;
  for (const CultureSetup& other : household.setup().cultures) {
    const auto& parent = household.book().grains(other.id).parent();
    if (!parent || parent->culture != culture) continue;
    if (grains.last_good_look() && parent->since <= *grains.last_good_look()) continue;
    text += fmt::format(" {} was split off them {}: look at its grains as well.", other.name,
                        day_and_clock_text(parent->since, household.setup()));
  }
  return text;
}

void tell_discard(const Household& household, const CultureSetup& culture, const Grains& grains,
                  Announcement& out) {
  const Grains::Inspected& seen = *grains.inspected();
  const Suspicion why{seen.told, seen.said, true};
  const std::string reason = reason_to_discard(seen.said);
  out.text = fmt::format(
      "{}: {} is never usual for grains. Discard them with the milk they stood in, do not taste "
      "it, "
      "and say \"discard\" of the jar, or \"spare\" with \"all\" and use \"thrown-away\".{}{} "
      "Start "
      "again from a reserve or new grains.{} Looking well later does not clear them; a report that "
      "was a mistake is taken back with \"retract\".",
      culture.name, reason, jars_to_wash(household, why),
      kefir_to_throw_out(household, why, grains), others_to_look_at(household, culture.id, grains));
  add_detail(out, "seen", reason);
  out.caution = cautions::discard_grains;
}

}  // namespace

void describe_grains(const Household& household, const CultureSetup& culture, Announcement& out,
                     Instant) {
  const auto& seen = household.book().grains(culture.id).inspected();
  switch (out.kind) {
    case EventKind::grains_hungry:
      return tell_hungry(household, culture, out);
    case EventKind::surplus_grains:
      return tell_surplus(household, culture, out);
    case EventKind::grains_advice:
      return tell_advice(culture, seen->said, out);
    case EventKind::discard_grains:
      return tell_discard(household, culture, household.book().grains(culture.id), out);
    default:
      check(false, "a culture tells of its grains");
  }
}

Announcement worded(const Occurrence& occurrence, const CultureId& culture,
                    const PaceChange& change, const Household& household) {
  // Common practice.
  constexpr std::string_view slower_causes =
      "Usual causes: another milk (ultra-pasteurised above all), grains rinsed with water, a cold "
      "place, too much milk for the grains, or left in sour kefir too long. Some batches of fresh "
      "whole milk, fed in time, mostly bring them back.";
  constexpr std::string_view faster_causes =
      "Usual causes: more grains than were weighed, a warmer place than its thermometer's, or "
      "other "
      "milk. Feed earlier, or give more milk or fewer grains.";
  Announcement out{
      occurrence.kind, occurrence.subject, occurrence.id, occurrence.time, "", std::nullopt, {}};
  const std::string name = name_of_culture(culture, household.setup());
  const bool slower = change.factor < 1.0;
  const double longer = 1.0 / change.factor;
  out.text = fmt::format("{}: {} than before: batches take {:.0f} % {} time. {}", name,
                         slower ? "slower" : "faster", 100.0 * std::abs(longer - 1.0),
                         slower ? "more" : "less", slower ? slower_causes : faster_causes);
  const PaceBelief pace = household.paces().of(culture);
  out.details = {{"time_factor", longer},
                 {"pace", pace.median()},
                 {"pace_low", pace.quantile(0.1)},
                 {"pace_high", pace.quantile(0.9)}};
  return out;
}

}  // namespace wheymark
