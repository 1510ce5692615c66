#include "plugin/wire/wish_json.hpp"

#include <cmath>
#include <fmt/format.h>

#include "core/basis/limits.hpp"
#include "core/household/advice_sentences.hpp"
#include "core/household/feeding.hpp"
#include "core/household/feeding_meant.hpp"
#include "core/household/steering.hpp"
#include "plugin/configuration/milk_word.hpp"
#include "plugin/configuration/section.hpp"
#include "plugin/wire/instant_field.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

void read_vary(Section& said, Wish& wish) {
  const json* const value = said.anything("vary", Need::optional);
  if (value == nullptr) return;
  wish.vary.clear();
  const std::string allowed = "an array of " + words_of<Varied>();
  if (!value->is_array()) return said.complain_found("vary", allowed);
  for (const json& entry : *value) {
    const auto what =
        entry.is_string() ? meaning_of<Varied>(entry.get_ref<const std::string&>()) : std::nullopt;
    if (!what) return said.complain_found("vary", allowed);
    wish.vary.push_back(*what);
  }
}

double rounded(double value, double step) {
  return std::round(value / step) * step;
}

void put(json& option, const std::string& name, const InstantSpread& spread) {
  option[name] = instant_or_null(spread.p50);
  option[name + "_earliest"] = instant_or_null(spread.p10);
  option[name + "_latest"] = instant_or_null(spread.p90);
}

json percent_json(double chance) {
  return std::round(1000.0 * chance) / 10.0;
}

json json_of(const Feeding& feeding, Instant now, const Plan& plan) {
  json option = {{"start", rfc3339(feeding.start)},
                 {"grain_g", feeding.grain_g},
                 {"milk_ml", feeding.milk_ml},
                 {"place", feeding.place},
                 {"chance_percent", percent_json(feeding.chance)},
                 {"text", told(feeding, now, plan) + "."}};
  put(option, "peak_opens", feeding.opens);
  put(option, "peak_closes", feeding.closes);
  return option;
}

json json_of(const Way& way, Instant now, const Plan& plan) {
  json option = {{"step", word(way.step)},
                 {"place", way.place},
                 {"chance_percent", percent_json(way.chance)},
                 {"text", told(way, now, plan) + "."}};
  if (way.at) option["at"] = rfc3339(*way.at);
  if (way.until) option["until"] = rfc3339(*way.until);
  put(option, "peak_opens", way.opens);
  put(option, "peak_closes", way.closes);
  return option;
}

template <class Options>
json options_of(const Options& options, Instant now, const Plan& plan) {
  json list = json::array();
  for (const auto& option : options) list.push_back(json_of(option, now, plan));
  return list;
}

json left_out_json(const std::vector<PlaceLeftOut>& left_out) {
  json list = json::array();
  for (const PlaceLeftOut& place : left_out) {
    list.push_back({{"place", place.place}, {"why", place.why}});
  }
  return list;
}

Result<Answered> answered_feeding(const Wish& wish, const Household& household, Instant now) {
  const auto advised = advise_feeding(wish, household, now);
  if (!advised) return advised.refusal();
  const FeedingAdvice& advice = advised.value();
  json fields = {{"about", word(About::feeding)},
                 {"jar", advice.jar},
                 {"culture", advice.culture},
                 {"ready_by", instant_or_null(advice.ready_by)},
                 {"good", advice.is_good()},
                 {"options", options_of(advice.best, now, household.plan())},
                 {"usual", json_of(advice.usual, now, household.plan())},
                 {"earliest_start", rfc3339(advice.earliest)},
                 {"milk_c", advice.milk_c},
                 {"grain_g_there", rounded(advice.grain_g_there, 0.1)},
                 {"left_out", left_out_json(advice.left_out)},
                 {"because", why(advice, household, now)}};
  return Answered{told(advice, household, now), text_of(fields)};
}

Result<Answered> answered_steering(const Wish& wish, const Household& household, Instant now) {
  const auto advised = advise_steering(wish, household, now);
  if (!advised) return advised.refusal();
  const SteeringAdvice& advice = advised.value();
  json fields = {{"about", word(About::batch)},
                 {"jar", advice.jar},
                 {"culture", advice.culture},
                 {"ready_by", instant_or_null(advice.ready_by)},
                 {"good", advice.is_good()},
                 {"options", options_of(advice.best, now, household.plan())},
                 {"left_out", left_out_json(advice.left_out)},
                 {"because", why(advice, household, now)}};
  return Answered{told(advice, household, now), text_of(fields)};
}

About about_of(const Wish& wish, const Household& household) {
  if (wish.about) return *wish.about;
  const auto jar = jar_meant(wish, household);
  const Batch* batch = jar ? household.kitchen().in_jar(jar.value()->id) : nullptr;
  return batch != nullptr && batch->fermenting() ? About::batch : About::feeding;
}

}  // namespace

Result<Wish> wish_from(const json& value, const std::optional<JarId>& implied_jar) {
  Complaints complaints;
  Section said(value, "", complaints);
  (void)said.anything("fact", Need::required);
  Wish wish;
  wish.about = said.word<About>("about", Need::optional);
  wish.jar = said.text("jar", Need::optional, id_form);
  if (implied_jar && wish.jar && wish.jar != implied_jar) {
    said.complain_found("jar", fmt::format("{}, whose topic this is", shown_text(*implied_jar)));
  }
  if (implied_jar) wish.jar = implied_jar;
  wish.culture = said.text("culture", Need::optional, id_form);
  wish.ready_by = instant_in(said, "ready_by");
  read_vary(said, wish);
  wish.grain_g =
      said.number("grain_g", Need::optional, {limits::grain_g_min, limits::grain_g_max, "g"});
  wish.milk_ml =
      said.number("milk_ml", Need::optional, {limits::milk_ml_min, limits::milk_ml_max, "ml"});
  wish.milk_c =
      said.number("milk_c", Need::optional, {limits::milk_c_min, limits::milk_c_max, "degC"});
  wish.milk = milk_in(said, "milk", Need::optional);
  wish.treatment = treatment_in(said, "treatment", Need::optional);
  wish.place = said.text("place", Need::optional, id_form);
  wish.start_at = instant_in(said, "start_at");
  (void)said.text("ref", Need::optional, remark_form);
  said.refuse_unknown_keys();
  if (complaints.empty()) return wish;
  Complaint first = complaints.front();
  if (!first.pointer.empty()) first.pointer.erase(0, 1);
  return Refusal{line_of(first)};
}

Result<Answered> answered(const Wish& wish, const Household& household, Instant now) {
  return about_of(wish, household) == About::batch ? answered_steering(wish, household, now)
                                                   : answered_feeding(wish, household, now);
}

}  // namespace wheymark
