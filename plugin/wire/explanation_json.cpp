#include "plugin/wire/explanation_json.hpp"

#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "core/advice/explanation.hpp"
#include "core/household/suspect_words.hpp"
#include "plugin/configuration/section.hpp"
#include "plugin/wire/implied_jar.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

json number(std::optional<double> value, double step) {
  if (!value || !std::isfinite(*value)) return nullptr;
  return std::round(*value / step) * step;
}

json json_of(const PaceSpread& pace) {
  constexpr double step = 1.0 / 1024.0;  // exact in binary, finer than anything is known
  return {{"p10", number(pace.p10, step)},
          {"p50", number(pace.p50, step)},
          {"p90", number(pace.p90, step)}};
}

json json_of(const InstantSpread& spread) {
  return {{"p10", instant_or_null(spread.p10)},
          {"p50", instant_or_null(spread.p50)},
          {"p90", instant_or_null(spread.p90)}};
}

json json_of(const ReadingsUsed& used) {
  json out = {{"place", used.place},
              {"from", rfc3339(used.from)},
              {"until", rfc3339(used.until)},
              {"readings", used.readings},
              {"thermometer", word(used.thermometer)}};
  if (used.last) {
    out["first_at"] = rfc3339(used.first->at);
    out["last_at"] = rfc3339(used.last->at);
    out["last_c"] = used.last->air.degrees();
  }
  return out;
}

json json_of(const WeighedReport& report) {
  json out = {{"at", rfc3339(report.at)},
              {"pace_before", json_of(spread_of(report.before))},
              {"pace_after", json_of(spread_of(report.after))}};
  std::visit(
      [&](const auto& what) {
        using What = std::decay_t<decltype(what)>;
        if constexpr (std::is_same_v<What, double>) out["ph"] = what;
        if constexpr (std::is_same_v<What, Sign>) out["sign"] = word(what);
        if constexpr (std::is_same_v<What, Verdict>) out["verdict"] = word(what);
      },
      report.said);
  if (report.opens_before) out["peak_opens_before"] = json_of(*report.opens_before);
  if (report.opens_after) out["peak_opens_after"] = json_of(*report.opens_after);
  return out;
}

json json_of(const AirExpected& air) {
  return {{"place", air.place},
          {"last_c", air.last_c},
          {"days_c", number(air.level_c, 0.125)},
          {"coolest_c", number(air.coolest_c, 0.125)},
          {"coolest_at", rfc3339(air.coolest_at)},
          {"warmest_c", number(air.warmest_c, 0.125)},
          {"warmest_at", rfc3339(air.warmest_at)},
          {"sd_k", number(air.sd_k, 0.125)}};
}

json json_of(const GrainSums& sums) {
  constexpr double step = 0.125;
  json jars = json::array();
  for (const GrainSums::InJar& part : sums.in_jars) {
    jars.push_back({{"jar", part.jar}, {"grain_g", number(part.grain_g, step)}});
  }
  return {{"all_g", number(sums.all_g, step)},
          {"in_jars", std::move(jars)},
          {"free_g", number(sums.free_g, step)},
          {"wanted_g", number(sums.wanted_g, step)}};
}

}  // namespace

Result<JarId> jar_to_explain(const json& asked, const std::optional<JarId>& implied_jar) {
  Complaints complaints;
  Section said(asked, "", complaints);
  (void)said.anything("fact", Need::required);
  const auto jar = jar_said_or_implied(said, Need::required, implied_jar);
  (void)said.text("ref", Need::optional, remark_form);
  said.refuse_unknown_keys();
  if (complaints.empty()) return *jar;
  Complaint first = complaints.front();
  if (!first.pointer.empty()) first.pointer.erase(0, 1);
  return Refusal{line_of(first)};
}

Result<Answered> explained(const JarId& jar, const Household& household, Instant now) {
  const auto found = explanation_of(jar, household, now);
  if (!found) return found.refusal();
  const Explanation& explanation = found.value();
  const std::vector<std::string> lines = lines_of(explanation, household, now);
  json fields = {{"jar", explanation.jar},
                 {"stage", word(explanation.state.stage)},
                 {"lines", lines},
                 {"batches_learned_from", explanation.batches_learned_from},
                 {"pace_before", json_of(explanation.pace_before)},
                 {"pace_now", json_of(explanation.pace_now)},
                 {"milk_c", number(explanation.state.milk_c, 0.125)},
                 {"acid_g_per_l", number(explanation.acid_g_per_l, 0.125)},
                 {"ph", number(explanation.state.ph, 1.0 / 128.0)},
                 {"peak_opens", json_of(explanation.state.forecast.peak_opens)},
                 {"peak_closes", json_of(explanation.state.forecast.peak_closes)},
                 {"readings", json::array()},
                 {"reports", json::array()}};
  fields["clock_h"] =
      explanation.condition ? number(explanation.condition->acid_clock_h, 0.125) : json(nullptr);
  fields["air_ahead"] = explanation.air ? json_of(*explanation.air) : json(nullptr);
  const Suspicion* why = explanation.state.suspicion;
  fields["suspect"] = why == nullptr ? json(nullptr) : json(what_was_seen(*why, household.setup()));
  fields["grains"] = explanation.grains ? json_of(*explanation.grains) : json(nullptr);
  for (const ReadingsUsed& used : explanation.readings) fields["readings"].push_back(json_of(used));
  for (const WeighedReport& report : explanation.reports)
    fields["reports"].push_back(json_of(report));
  return Answered{fmt::format("{}", fmt::join(lines, " ")), text_of(fields)};
}

}  // namespace wheymark
