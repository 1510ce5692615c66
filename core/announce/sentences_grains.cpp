// The sentences about a culture's grains.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>

#include "core/announce/cautions.hpp"
#include "core/announce/describe.hpp"
#include "core/announce/sentences.hpp"
#include "core/basis/check.hpp"
#include "core/household/grain_needs.hpp"
#include "core/household/household.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {
namespace {

void tell_hungry(const Household& household, const CultureSetup& culture, Announcement& out) {
  const auto hungry = hunger(culture, household);
  check(hungry.has_value(), "hunger that is told is there");
  const std::string since = day_and_clock_text(hungry->since.at, household.setup());
  add_detail(out, "since", hungry->since.at);
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
    case Hunger::Where::in_old_milk:
      out.text = fmt::format(
          "{}: in the same milk since {} and long over-fermented; the grains starve. Strain them "
          "and "
          "give them fresh milk; the next batch may be slow.",
          culture.name, since);
      return;
  }
}

void tell_surplus(const Household& household, const CultureSetup& culture, Announcement& out) {
  const double grain_g = household.book().grain_g(culture);
  const double more_g = grain_g - household.wanted_grain_g(culture.id);
  out.text = fmt::format(
      "{}: about {:.0f} g of grains, some {:.0f} g more than the jars want; weigh them to be sure. "
      "Give some away, eat them, freeze or dry a reserve, start another jar, or take more milk: "
      "all "
      "of them suit about {:.0f} mL.",
      culture.name, grain_g, more_g, 50.0 * std::round(milk_ml_for(grain_g) / 50.0));
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

void tell_discard(const CultureSetup& culture, const Inspect& said, Announcement& out) {
  const std::string seen = said.colour && *said.colour > GrainColour::yellowish
                               ? std::string(word(*said.colour))
                               : "a rotten smell";
  out.text = fmt::format(
      "{}: {} is never usual for grains. Discard them with the milk they stood in, and say spare "
      "with use thrown-away.",
      culture.name, seen);
  add_detail(out, "seen", seen);
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
      return tell_discard(culture, seen->said, out);
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
