#include "core/advice/advice_sentences.hpp"

#include <cmath>
#include <fmt/format.h>

#include "core/household/stock.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "core/record/waking.hpp"

namespace wheymark {
namespace {

// Chances that differ by less than this are as good as each other.
constexpr double no_better = 0.02;
// A room that cools by this much at night is worth mentioning.
constexpr double cools_k = 1.0;

std::string percent(double chance) {
  if (chance > 0.99) return "more than 99 %";
  if (chance < 0.01) return "less than 1 %";
  return fmt::format("{:.0f} %", 100.0 * chance);
}

std::string ready(const InstantSpread& opens, Instant now, const HouseholdSetup& setup) {
  const auto clock = [&](Instant instant) { return near_clock_text(instant, now, setup); };
  if (!opens.p50) return "no peak is in sight for days";
  if (!opens.p10 || *opens.p10 <= now) {
    return opens.p90 ? fmt::format("ready before {}", clock(*opens.p90))
                     : fmt::format("ready near {}", clock(*opens.p50));
  }
  if (!opens.p90) return fmt::format("ready from {} on", clock(*opens.p10));
  return fmt::format("ready between {} and {}", clock(*opens.p10), clock(*opens.p90));
}

// " At 07:00 it is at its peak with a chance of 81 %."
std::string chance_sentence(double chance, const std::optional<Instant>& ready_by, Instant now,
                            const HouseholdSetup& setup) {
  if (ready_by) {
    return fmt::format("The chance that it is ready by {} and not yet over is {}.",
                       near_clock_text(*ready_by, now, setup), percent(chance));
  }
  return fmt::format("The chance that it peaks while you are up is {}.", percent(chance));
}

std::string when_it_peaks(const InstantSpread& opens, Instant now, const HouseholdSetup& setup) {
  if (!opens.p50) return "would not peak for days";
  return fmt::format("would peak near {}{}", near_clock_text(*opens.p50, now, setup),
                     awake_at(*opens.p50, setup) ? "" : ", at night");
}

void add(std::string& text, const std::string& sentence) {
  if (sentence.empty()) return;
  if (!text.empty()) text += " ";
  text += sentence;
}

// How the room behaves until the peak, where that is worth mentioning.
std::string about_room(const PlaceId& id, Instant from, const InstantSpread& opens,
                       const Household& household) {
  const PlaceAir* air = household.places().air(id);
  if (air == nullptr || !air->history().last()) return "";
  const Reading last = *air->history().last();
  const AirAhead ahead = air->ahead(household.setup());
  const double first_c = ahead.at(std::max(from, last.at)).degrees();
  double least_c = first_c;
  for (int hour = 0; opens.p50 && from + std::chrono::hours{hour} < *opens.p50; ++hour) {
    least_c =
        std::min(least_c, ahead.at(std::max(from + std::chrono::hours{hour}, last.at)).degrees());
  }
  if (first_c - least_c < cools_k) return "";
  return fmt::format("{} cools from {:.1f} to {:.1f} °C meanwhile.",
                     name_of_place(id, household.setup()), first_c, least_c);
}

std::string about_pace(const CultureId& culture, std::size_t batches, const Household& household) {
  const std::string name = name_of_culture(culture, household.setup());
  if (batches > 0) return "";
  return fmt::format("No batch of {} has shown its pace yet, so the hours are wide.", name);
}

std::string about_left_out(const std::vector<PlaceLeftOut>& left_out, const HouseholdSetup& setup) {
  std::string text;
  for (const PlaceLeftOut& place : left_out) {
    add(text, fmt::format("{} was left out: {}.", name_of_place(place.place, setup), place.why));
  }
  return text;
}

// "less milk, another place"
std::string changes(const Feeding& feeding, const Feeding& usual) {
  std::string text;
  const auto change = [&](bool changed, const char* word) {
    if (changed) text += (text.empty() ? "" : ", ") + std::string(word);
  };
  change(feeding.grain_g > usual.grain_g, "more grains");
  change(feeding.grain_g < usual.grain_g, "fewer grains");
  change(feeding.milk_ml > usual.milk_ml, "more milk");
  change(feeding.milk_ml < usual.milk_ml, "less milk");
  change(feeding.place != usual.place, "another place");
  change(feeding.start != usual.start, "another hour");
  return text;
}

}  // namespace

std::string advice_text(const Feeding& feeding, Instant now, const HouseholdSetup& setup) {
  return fmt::format("Feed at {} with {:.4g} g in {:.5g} mL ({}): {}",
                     near_clock_text(feeding.start, now, setup), feeding.grain_g, feeding.milk_ml,
                     name_of_place(feeding.place, setup), ready(feeding.opens, now, setup));
}

std::string ready_text(const Feeding& feeding, Instant now, const HouseholdSetup& setup) {
  return ready(feeding.opens, now, setup);
}

std::string advice_text(const Way& way, Instant now, const HouseholdSetup& setup) {
  const auto clock = [&](Instant instant) {
    return instant <= now ? "now" : near_clock_text(instant, now, setup);
  };
  const std::string is_ready = ready(way.opens, now, setup);
  switch (way.step) {
    case Remedy::leave:
      return fmt::format("Leave it where it is: {}", is_ready);
    case Remedy::strain:
      return "Strain it now: its peak is likely open";
    case Remedy::move:
      return fmt::format("Move it to {} {}{}: {}", name_of_place(way.place, setup),
                         *way.at <= now ? "" : "at ", clock(*way.at), is_ready);
    case Remedy::cool:
      return fmt::format("Cool it in {} from {} until {}: {}", name_of_place(way.place, setup),
                         clock(*way.at), clock(*way.until), is_ready);
  }
  return "";
}

std::string why(const FeedingAdvice& advice, const Household& household, Instant now) {
  const HouseholdSetup& setup = household.setup();
  const Feeding& best = advice.best.front();
  const Feeding& usual = advice.usual;
  std::string text;
  if (advice.grains_come_out_of) {
    text = fmt::format("{} is likely to be strained near {}, and nothing can be fed before.",
                       name_of_jar(*advice.grains_come_out_of, setup),
                       near_clock_text(advice.earliest, now, setup));
  }
  const std::string changed = changes(best, usual);
  if (changed.empty()) {
    add(text, "That is as usual, and no change is clearly better.");
  } else {
    add(text, fmt::format("As usual at {} ({:.4g} g in {:.5g} mL, {}) it {}: a chance of {}.",
                          near_clock_text(usual.start, now, setup), usual.grain_g, usual.milk_ml,
                          name_of_place(usual.place, setup), when_it_peaks(usual.opens, now, setup),
                          percent(usual.chance)));
    add(text, fmt::format("So: {}.", changed));
  }
  add(text, about_room(best.place, best.start, best.opens, household));
  add(text, about_pace(advice.culture, advice.batches_learned_from, household));
  if (advice.doubt) add(text, *advice.doubt + ".");
  add(text, about_left_out(advice.left_out, setup));
  return text;
}

std::string why(const SteeringAdvice& advice, const Household& household, Instant now) {
  const HouseholdSetup& setup = household.setup();
  const Way& best = advice.best.front();
  std::string text;
  if (best.step == Remedy::strain) {
    return best.closes.p50 ? fmt::format("It is likely to be over-fermented from {} on.",
                                         near_clock_text(*best.closes.p50, now, setup))
                           : "The first whey pockets mark the peak.";
  }
  if (best.step == Remedy::leave) {
    text = "Nothing else is clearly better.";
  } else {
    text = fmt::format("Left where it is, it {}: a chance of {}.",
                       when_it_peaks(advice.left.opens, now, setup), percent(advice.left.chance));
  }
  if (best.chance < advice.left.chance + no_better && best.step != Remedy::leave) {
    add(text, "It is hardly better.");
  }
  add(text, about_room(best.step == Remedy::cool ? advice.left.place : best.place, now, best.opens,
                       household));
  add(text, about_pace(advice.culture, household.paces().batches(advice.culture), household));
  add(text, about_left_out(advice.left_out, setup));
  return text;
}

std::string advice_text(const FeedingAdvice& advice, const Household& household, Instant now) {
  const HouseholdSetup& setup = household.setup();
  const Feeding& best = advice.best.front();
  std::string text;
  if (!advice.is_good()) text = "No feeding makes it likely; this comes nearest.";
  add(text, advice_text(best, now, setup) + ".");
  add(text, chance_sentence(best.chance, advice.ready_by, now, setup));
  add(text, why(advice, household, now));
  const Stock stock = stock_of(household, now);
  if (stock.milk_ml) add(text, stock_sentence(stock, setup));
  return text;
}

std::string advice_text(const SteeringAdvice& advice, const Household& household, Instant now) {
  const HouseholdSetup& setup = household.setup();
  const Way& best = advice.best.front();
  std::string text;
  const bool strain = best.step == Remedy::strain;
  if (!advice.is_good() && !strain) text = "Nothing makes it likely; this comes nearest.";
  add(text, advice_text(best, now, setup) + ".");
  if (!strain) add(text, chance_sentence(best.chance, advice.ready_by, now, setup));
  add(text, why(advice, household, now));
  return text;
}

}  // namespace wheymark
