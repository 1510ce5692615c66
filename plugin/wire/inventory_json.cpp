#include "plugin/wire/inventory_json.hpp"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "core/household/suspect_words.hpp"
#include "core/record/local_time.hpp"
#include "core/record/names.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

// Ages to a tenth of a day: a hub's history stays short.
double tenths(double days) {
  return std::round(10.0 * days) / 10.0;
}

std::string second(Instant instant) {
  return rfc3339(std::chrono::round<std::chrono::seconds>(instant));
}

std::string days(double age_d) {
  const double whole = std::round(age_d);
  return whole == 1.0 ? "1 day" : fmt::format("{:.0f} days", whole);
}

}  // namespace

std::string inventory_json(const std::vector<StoredKefir>& bottles, const HouseholdSetup& setup) {
  nlohmann::json list = nlohmann::json::array();
  for (const StoredKefir& bottle : bottles) {
    if (bottle.suspicion != nullptr) {
      list.push_back({{"jar", bottle.batch->jar()},
                      {"name", name_of_jar(bottle.batch->jar(), setup)},
                      {"stored", second(bottle.stored)},
                      {"age_d", tenths(bottle.age_d)},
                      {"effective_age_d", tenths(bottle.effective_age_d)},
                      {"suspect", what_was_seen(*bottle.suspicion, setup)}});
      continue;
    }
    list.push_back({{"jar", bottle.batch->jar()},
                    {"name", name_of_jar(bottle.batch->jar(), setup)},
                    {"ml", std::round(bottle.batch->ml_now())},
                    {"stored", second(bottle.stored)},
                    {"age_d", tenths(bottle.age_d)},
                    {"effective_age_d", tenths(bottle.effective_age_d)},
                    {"best_by", second(bottle.best_by)},
                    {"last_day", second(bottle.last_day)},
                    {"flavour", flavour_by_now(bottle.effective_age_d)}});
  }
  return text_of(list);
}

std::string inventory_text(const std::vector<StoredKefir>& bottles, const Stock& stock,
                           const HouseholdSetup& setup) {
  std::string text = bottles.empty() ? "No kefir is in the fridge.\n" : "";
  for (const StoredKefir& bottle : bottles) {
    if (bottle.suspicion != nullptr) {
      text += fmt::format("{}: suspect: {}; {}\n", name_of_jar(bottle.batch->jar(), setup),
                          what_was_seen(*bottle.suspicion, setup), what_to_do(bottle.batch));
      continue;
    }
    text += fmt::format(
        "{}: {:.0f} mL, {} old{}, best by {}, last day {}; should be {}\n",
        name_of_jar(bottle.batch->jar(), setup), bottle.batch->ml_now(), days(bottle.age_d),
        bottle.shortened ? fmt::format(" (as {:.0f} at 4 °C)", bottle.effective_age_d) : "",
        day_text(bottle.best_by, setup), day_text(bottle.last_day, setup),
        flavour_by_now(bottle.effective_age_d));
  }
  if (stock.kefir_ml > 0.0) text += stock_sentence(stock, setup) + "\n";
  return text;
}

}  // namespace wheymark
