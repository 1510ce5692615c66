// What a household's people told of usual batches, and when it is weighed.
#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

#include "core/household/household.hpp"

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
