#include "plugin/history/document.hpp"

#include <fmt/format.h>

#include "core/household/stored_kefir.hpp"
#include "plugin/history/curves.hpp"
#include "plugin/history/month.hpp"
#include "plugin/wire/inventory_json.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

struct TableSource {
  std::string_view name;
  Table (*table)(const Household&, const Records&, Instant);
};

constexpr TableSource sources[] = {
    {"batches", [](const Household& household, const Records& records,
                   Instant) { return batches_table(batch_records(household, records)); }},
    {"bottles", [](const Household& household, const Records& records,
                   Instant now) { return bottles_table(household, records, now); }},
    {"cultures",
     [](const Household& household, const Records&, Instant) { return cultures_table(household); }},
    {"readings",
     [](const Household&, const Records& records, Instant) { return readings_table(records); }}};

}  // namespace

Result<std::string> document(std::string_view name, const Household& household,
                             const Records& records, Instant now) {
  for (const TableSource& source : sources) {
    if (name == std::string(source.name) + ".csv")
      return csv_of(source.table(household, records, now));
    if (name == std::string(source.name) + ".json") {
      return text_of(json_of(source.table(household, records, now))) + "\n";
    }
  }
  if (name == "all.json") {
    nlohmann::json all = nlohmann::json::object();
    for (const TableSource& source : sources) {
      all[std::string(source.name)] = json_of(source.table(household, records, now));
    }
    return text_of(all) + "\n";
  }
  if (name == "curves.csv") return csv_of(curves_table(household, records));
  if (name == "inventory.txt" || name == "inventory.json") {
    const std::vector<StoredKefir> bottles = inventory(household, "", now);
    return name.ends_with("json")
               ? inventory_json(bottles, household.setup()) + "\n"
               : inventory_text(bottles, stock_of(household, now), household.setup());
  }
  const std::size_t space = name.find(' ');
  const std::string_view kind = name.substr(0, space);
  if (kind == "month.txt" || kind == "month.svg") {
    const std::string_view which =
        space == std::string_view::npos ? std::string_view() : name.substr(space + 1);
    const auto month = month_from(which, now, household.setup());
    if (!month) return month.refusal();
    const Month summary = month_of(month.value(), household, records);
    return kind.ends_with("svg") ? svg_of(summary, household.setup())
                                 : text_of(summary, household.setup());
  }
  return Refusal{fmt::format(
      "\"{}\" cannot be exported; there are batches, bottles, cultures and readings as .csv and "
      ".json, all.json, curves.csv, inventory.txt, inventory.json, month.txt and month.svg",
      name.substr(0, 60))};
}

}  // namespace wheymark
