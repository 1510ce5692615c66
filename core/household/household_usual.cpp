// What a household's people told of batches of before, and when it is weighed.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

#include "core/basis/limits.hpp"
#include "core/household/household.hpp"
#include "core/household/remembered.hpp"
#include "core/jar/milk_course.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"

namespace wheymark {

const UsualBatches& Household::usual(const CultureId& culture) const {
  static const UsualBatches none;
  const auto found = usual_.find(culture);
  return found == usual_.end() ? none : found->second;
}

// Rounded as people would: then it is the same after old readings were thinned.
std::optional<double> Household::own_days_c(const CultureId& culture) const {
  const JarSetup* jar = usual_jar(culture, setup_);
  const PlaceAir* air = jar == nullptr ? nullptr : places_.air(jar->place);
  if (air == nullptr || !air->history().last()) return std::nullopt;
  return std::round(2.0 * air->ahead(setup_).level.degrees()) / 2.0;
}

UsualBatches Household::usual_with(const CultureId& culture,
                                   const std::vector<UsualBatch>& told) const {
  UsualBatches all = usual(culture);
  if (!all.own_days_c) all.own_days_c = own_days_c(culture);
  for (const UsualBatch& batch : told) {
    const UsualBatch whole = as_set_up(batch, culture, setup_, parameters_);
    if (std::find(all.told.begin(), all.told.end(), whole) == all.told.end()) {
      all.told.push_back(whole);
    }
  }
  return all;
}

std::optional<UsualTogether> Household::shown_by_usual(const CultureId& culture,
                                                       const UsualBatches& usual) const {
  const auto shown = shown_by(usual, culture, setup_, tables_, parameters_);
  return shown.empty() ? std::nullopt : std::optional(together(shown, parameters_));
}

Result<Usual> Household::with_own_days(Usual usual) const {
  const auto days_c = usual_with(usual.culture, {}).own_days_c;
  for (UsualBatch& batch : usual.usual) {
    if (!batch.air_c) batch.air_c = days_c;
    const auto shows = shown_by_usual(usual.culture, {{batch}, days_c});
    if (shows && std::abs(shows->log_pace) < pace_grid::log_pace_max) continue;
    return Refusal{fmt::format(
        "no grains that are known take {}: look at the hours, the air's temperature and the "
        "amounts",
        text_of(batch))};
  }
  return usual;
}

// Its own days are taken once, with the first start or telling: "usual" is of that season.
void Household::weigh_usual(const CultureId& id) {
  UsualBatches& known = usual_[id];
  const UsualBatches before = std::exchange(known, {{}, known.own_days_c});
  std::vector<UsualBatch> told = setup_.culture(id)->usual;
  const std::vector<UsualBatch>& said = book().usual(id);
  told.insert(told.end(), said.begin(), said.end());
  known = usual_with(id, told);
  if (known == before) return;
  const auto shows = shown_by_usual(id, known);
  paces_.know_usual(id, shows ? evidence_of(*shows) : PaceEvidence());
  believe_anew(id);
}

Outcome Household::fits_in(const Remembered& past, Instant now) const {
  const auto text = [&](Instant at) { return day_and_clock_text(at, setup_); };
  const auto refused = [&](std::string_view what, const std::string& found,
                           const std::string& allowed) {
    return Refusal{fmt::format("{} is {}; allowed is {}", what, found, allowed)};
  };
  if (past.started < limits::remembered_since) {
    return refused("started", text(past.started), "the year 2000 or later");
  }
  if (past.strained > now) {
    return refused("strained", text(past.strained), "not later than now, " + text(now));
  }
  const double hours = hours_between(past.started, past.strained);
  if (!(hours >= 1.0) || hours > hours_between({}, Instant(limits::batch_followed_max))) {
    return refused("strained", fmt::format("{:.4g} h after started", hours), "1 to 168 h");
  }
  if (past.peak && (*past.peak <= past.started || *past.peak > past.strained)) {
    return refused("peak", text(*past.peak), "after started and not after strained");
  }
  if (past.room_c &&
      !(*past.room_c >= limits::usual_air_c_min && *past.room_c <= limits::usual_air_c_max)) {
    return refused("room_c", fmt::format("{} degC", *past.room_c),
                   fmt::format("{} to {} degC", limits::usual_air_c_min, limits::usual_air_c_max));
  }
  for (const Batch& batch : book().batches()) {
    const Instant out = grains_out(batch);
    if (batch.start.jar != past.start.jar || batch.share_of) continue;
    if (batch.started >= past.strained || out <= past.started) continue;
    return Refusal{fmt::format(
        "from {} to {} {} held another batch, started {}; allowed is what does not overlap it",
        text(past.started), text(past.strained), name_of_jar(past.start.jar, setup_),
        text(batch.started))};
  }
  return Nothing{};
}

void Household::remember(const Batch& batch) {
  paces_.learn_from_remembered(batch, remembered_evidence(batch, setup_, tables_, parameters_));
  believe_anew(*batch.start.culture);
}

void Household::weigh_usual(const Fact& fact) {
  const bool tells = std::holds_alternative<Usual>(fact);
  if (!tells && (usual_.empty() || !(takes_back(fact) || std::holds_alternative<Start>(fact)))) {
    return;
  }
  for (const CultureSetup& culture : setup_.cultures) {
    const bool is_told = !culture.usual.empty() || !book().usual(culture.id).empty();
    if (is_told || usual_.contains(culture.id)) weigh_usual(culture.id);
  }
}

}  // namespace wheymark
