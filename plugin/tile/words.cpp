#include "plugin/tile/words.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "core/household/stored_kefir.hpp"
#include "core/record/amounts.hpp"
#include "core/record/local_time.hpp"
#include "plugin/wire/number_text.hpp"

namespace wheymark {
namespace {

std::string age_text(double days) {
  const auto whole = static_cast<long>(std::floor(days));
  if (whole < 1) return "stored today";
  return fmt::format("{} {} old", whole, whole == 1 ? "day" : "days");
}

Appearance look_of(Stage stage) {
  switch (stage) {
    case Stage::empty:
    case Stage::suspect:  // drawn by what the jar holds
      return Appearance::empty;
    case Stage::working:
      return Appearance::milk;
    case Stage::thickened:
    case Stage::set:
      return Appearance::curd;
    case Stage::peak:
      return Appearance::whey_pockets;
    case Stage::over_fermented:
      return Appearance::whey_layer;
    case Stage::strained:
    case Stage::second:
    case Stage::fridge:
    case Stage::use_soon:
    case Stage::past_best:
      return Appearance::kefir;
  }
  return Appearance::empty;
}

std::string_view headline_of(Stage stage) {
  switch (stage) {
    case Stage::empty:
      return "Empty";
    case Stage::working:
      return "Working";
    case Stage::thickened:
      return "Thickened";
    case Stage::set:
      return "Set";
    case Stage::peak:
      return "At its peak";
    case Stage::over_fermented:
      return "Over-fermented";
    case Stage::strained:
      return "Strained";
    case Stage::second:
      return "Second ferment";
    case Stage::fridge:
      return "In the fridge";
    case Stage::use_soon:
      return "Use soon";
    case Stage::past_best:
      return "Past its best";
    case Stage::suspect:
      return "Suspect";
  }
  return "";
}

// "likely 18:10 to 21:30", as far as it is known and still to come.
std::optional<std::string> likely(const InstantSpread& spread, Instant now,
                                  const HouseholdSetup& setup) {
  if (!spread.p10 || !spread.p90 || *spread.p90 <= now) return std::nullopt;
  const std::string latest = clock_or_day(*spread.p90, now, setup);
  if (*spread.p10 <= now) return "likely before " + latest;
  return fmt::format("likely {} to {}", clock_or_day(*spread.p10, now, setup), latest);
}

void say_of_ferment(TileWords& words, const JarState& state, Instant now,
                    const HouseholdSetup& setup) {
  const InstantSpread& opens = state.forecast.peak_opens;
  const InstantSpread& closes = state.forecast.peak_closes;
  std::optional<std::string> more;
  if (state.stage == Stage::peak) {
    words.lines.emplace_back("Strain it now");
    if (closes.p50) more = "too sour about " + clock_or_day(*closes.p50, now, setup);
  } else if (state.stage == Stage::over_fermented) {
    words.lines.emplace_back("Strain it now");
  } else if (opens.p50) {
    words.lines.push_back("Strain about " + clock_or_day(*opens.p50, now, setup));
    more = likely(opens, now, setup);
  } else {
    words.lines.emplace_back(state.milk_c ? "No peak in sight" : "No forecast yet");
    more = state.milk_c ? "it is too cold for days" : "no thermometer was read";
  }
  if (more) words.lines.push_back(*more);
  // A peak that was seen is more certain than the computed progress.
  const bool seen_early = state.stage >= Stage::peak && state.progress_percent < 100.0;
  if (state.progress_percent && !seen_early) {
    words.share = *state.progress_percent / 100.0;
    words.share_text = decimal(*state.progress_percent, 0) + " %";
  }
}

void say_of_fridge(TileWords& words, const StoredKefir& kept, const HouseholdSetup& setup) {
  const double last_day_d = hours_between(kept.stored, kept.last_day) / 24.0;
  const double best_by_d = hours_between(kept.stored, kept.best_by) / 24.0;
  words.lines = {age_text(kept.age_d) + ", " + volume_text(kept.batch->ml_now()),
                 "best by " + day_text(kept.best_by, setup),
                 "last day " + day_text(kept.last_day, setup)};
  words.share = kept.age_d / last_day_d;
  words.mark = best_by_d / last_day_d;
  const auto left_d = static_cast<long>(std::floor(last_day_d - kept.age_d));
  words.share_text = left_d < 0 ? "too old" : fmt::format("{} d left", left_d);
}

void say_of_plain_milk(TileWords& words) {
  words.headline = "Not souring";
  words.look = Appearance::milk;
  words.lines = {"Throw it out", "do not taste it", "plain milk that stood warm"};
}

void say_of_strained(TileWords& words, const JarState& state, Instant now,
                     const HouseholdSetup& setup) {
  const Batch& batch = *state.batch;
  if (batch.in_second) {
    words.lines = {"Open it slowly, daily",
                   "since " + clock_or_day(batch.sweetened.back().at, now, setup)};
    return;
  }
  words.lines = {"Put it in the fridge", volume_text(batch.ml_now()) + " since " +
                                             clock_or_day(batch.strained->at, now, setup)};
  if (!state.left_out || state.left_out->too_long > now) return;
  words.headline = "Left out";
  if (state.left_out->too_old <= now) words.lines.front() = "Throw it out";
  words.lines.back() = "out since " + clock_or_day(state.left_out->since, now, setup);
}

void say_of_suspect(TileWords& words, const JarState& state, const HouseholdSetup& setup) {
  const std::string seen = reason_to_discard(state.suspicion->said);
  const std::string day = day_text(state.suspicion->told.at, setup);
  if (state.batch == nullptr) {
    words.lines = {"Wash it with hot water", "it held what is suspect"};
    return;
  }
  words.look = state.batch->strained ? Appearance::kefir : Appearance::milk;
  words.lines = {"Do not taste it",
                 state.batch->strained ? "throw it out" : "discard it with its grains",
                 seen + (seen == "a rotten smell" ? ", " : " seen ") + day};
}

std::string temperatures(const Household& household, const JarState& state, const PlaceId& place) {
  std::string text;
  if (state.milk_c) text += fmt::format(" The milk is at {} \u00b0C.", decimal(*state.milk_c, 1));
  const TemperatureHistory* air = household.places().history(place);
  const PlaceSetup* known = household.setup().place(place);
  if (air != nullptr && air->last() && known != nullptr) {
    text += fmt::format(" {}: {} \u00b0C.", known->name, decimal(air->last()->air.degrees(), 1));
  }
  return text;
}

}  // namespace

std::string clock_or_day(Instant instant, Instant now, const HouseholdSetup& setup) {
  const std::string day = day_text(instant, setup);
  const std::string clock = clock_text(instant, setup);
  return day == day_text(now, setup) ? clock : day.substr(0, day.find(' ')) + " " + clock;
}

TileWords words_of_tile(const Household& household, const JarSetup& jar, const JarState& state,
                        Instant now) {
  const HouseholdSetup& setup = household.setup();
  TileWords words;
  words.name = jar.name;
  words.headline = headline_of(state.stage);
  words.look = look_of(state.stage);
  if (state.suspicion != nullptr) {
    say_of_suspect(words, state, setup);
  } else if (state.batch == nullptr) {
    words.lines.emplace_back("Ready for milk");
  } else if (state.not_souring) {
    say_of_plain_milk(words);
  } else if (state.batch->in_fridge) {
    say_of_fridge(words, *state.kept, setup);
  } else if (state.batch->strained) {
    say_of_strained(words, state, now, setup);
  } else {
    say_of_ferment(words, state, now, setup);
  }
  words.spoken =
      fmt::format("{}: {}. {}.", words.name, words.headline, fmt::join(words.lines, ", "));
  if (state.progress_percent && words.share) {
    words.spoken += fmt::format(" Progress to the peak: {}.", words.share_text);
  }
  if (state.batch != nullptr) words.spoken += temperatures(household, state, state.batch->place());
  return words;
}

}  // namespace wheymark
