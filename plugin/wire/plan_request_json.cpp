#include "plugin/wire/plan_request_json.hpp"

#include <cmath>
#include <fmt/format.h>

#include "core/advice/advice_sentences.hpp"
#include "core/advice/feeding.hpp"
#include "core/advice/feeding_usual.hpp"
#include "core/advice/steering.hpp"
#include "core/basis/limits.hpp"
#include "plugin/configuration/milk_word.hpp"
#include "plugin/configuration/section.hpp"
#include "plugin/wire/implied_jar.hpp"
#include "plugin/wire/instant_field.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

void read_vary(Section& said, PlanRequest& request) {
  const json* const value = said.anything("vary", Need::optional);
  if (value == nullptr) return;
  request.vary.clear();
  const std::string allowed = "an array of " + words_of<Varied>();
  if (!value->is_array()) return said.complain_found("vary", allowed);
  for (const json& entry : *value) {
    const auto what =
        entry.is_string() ? meaning_of<Varied>(entry.get_ref<const std::string&>()) : std::nullopt;
    if (!what) return said.complain_found("vary", allowed);
    request.vary.push_back(*what);
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

json json_of(const Feeding& feeding, Instant now, const HouseholdSetup& setup) {
  json option = {{"start", rfc3339(feeding.start)},
                 {"grain_g", feeding.grain_g},
                 {"milk_ml", feeding.milk_ml},
                 {"place", feeding.place},
                 {"chance_percent", percent_json(feeding.chance)},
                 {"text", advice_text(feeding, now, setup) + "."}};
  put(option, "peak_opens", feeding.opens);
  put(option, "peak_closes", feeding.closes);
  return option;
}

json json_of(const Way& way, Instant now, const HouseholdSetup& setup) {
  json option = {{"step", word(way.step)},
                 {"place", way.place},
                 {"chance_percent", percent_json(way.chance)},
                 {"text", advice_text(way, now, setup) + "."}};
  if (way.at) option["at"] = rfc3339(*way.at);
  if (way.until) option["until"] = rfc3339(*way.until);
  put(option, "peak_opens", way.opens);
  put(option, "peak_closes", way.closes);
  return option;
}

template <class Options>
json options_of(const Options& options, Instant now, const HouseholdSetup& setup) {
  json list = json::array();
  for (const auto& option : options) list.push_back(json_of(option, now, setup));
  return list;
}

json left_out_json(const std::vector<PlaceLeftOut>& left_out) {
  json list = json::array();
  for (const PlaceLeftOut& place : left_out) {
    list.push_back({{"place", place.place}, {"why", place.why}});
  }
  return list;
}

Result<Answered> answered_feeding(const PlanRequest& request, const Household& household,
                                  Instant now) {
  const auto advised = advise_feeding(request, household, now);
  if (!advised) return advised.refusal();
  const FeedingAdvice& advice = advised.value();
  json fields = {{"about", word(About::feeding)},
                 {"jar", advice.jar},
                 {"culture", advice.culture},
                 {"ready_by", instant_or_null(advice.ready_by)},
                 {"good", advice.is_good()},
                 {"options", options_of(advice.best, now, household.setup())},
                 {"usual", json_of(advice.usual, now, household.setup())},
                 {"earliest_start", rfc3339(advice.earliest)},
                 {"milk_c", advice.milk_c},
                 {"grain_g_there", rounded(advice.grain_g_there, 0.1)},
                 {"left_out", left_out_json(advice.left_out)},
                 {"because", why(advice, household, now)}};
  return Answered{advice_text(advice, household, now), text_of(fields)};
}

Result<Answered> answered_steering(const PlanRequest& request, const Household& household,
                                   Instant now) {
  const auto advised = advise_steering(request, household, now);
  if (!advised) return advised.refusal();
  const SteeringAdvice& advice = advised.value();
  json fields = {{"about", word(About::batch)},
                 {"jar", advice.jar},
                 {"culture", advice.culture},
                 {"ready_by", instant_or_null(advice.ready_by)},
                 {"good", advice.is_good()},
                 {"options", options_of(advice.best, now, household.setup())},
                 {"left_out", left_out_json(advice.left_out)},
                 {"because", why(advice, household, now)}};
  return Answered{advice_text(advice, household, now), text_of(fields)};
}

About about_of(const PlanRequest& request, const Household& household) {
  if (request.about) return *request.about;
  const auto jar = jar_requested(request, household);
  const Batch* batch = jar ? household.book().in_jar(jar.value()->id) : nullptr;
  return batch != nullptr && batch->fermenting() ? About::batch : About::feeding;
}

}  // namespace

Result<PlanRequest> plan_request_from(const json& value, const std::optional<JarId>& implied_jar) {
  Complaints complaints;
  Section said(value, "", complaints);
  (void)said.anything("fact", Need::required);
  PlanRequest request;
  request.about = said.word<About>("about", Need::optional);
  request.jar = jar_said_or_implied(said, Need::optional, implied_jar);
  request.culture = said.id<CultureId>("culture", Need::optional);
  request.ready_by = instant_in(said, "ready_by");
  read_vary(said, request);
  request.grain_g =
      said.number("grain_g", Need::optional, {limits::grain_g_min, limits::grain_g_max, "g"});
  request.milk_ml =
      said.number("milk_ml", Need::optional, {limits::milk_ml_min, limits::milk_ml_max, "ml"});
  request.milk_c =
      said.number("milk_c", Need::optional, {limits::milk_c_min, limits::milk_c_max, "degC"});
  request.milk = milk_in(said, "milk", Need::optional);
  request.treatment = treatment_in(said, "treatment", Need::optional);
  request.place = said.id<PlaceId>("place", Need::optional);
  request.start_at = instant_in(said, "start_at");
  (void)said.text("ref", Need::optional, remark_form);
  said.refuse_unknown_keys();
  if (complaints.empty()) return request;
  Complaint first = complaints.front();
  if (!first.pointer.empty()) first.pointer.erase(0, 1);
  return Refusal{line_of(first)};
}

Result<Answered> answered(const PlanRequest& request, const Household& household, Instant now) {
  return about_of(request, household) == About::batch ? answered_steering(request, household, now)
                                                      : answered_feeding(request, household, now);
}

}  // namespace wheymark
