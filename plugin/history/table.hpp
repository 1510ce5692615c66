// A table that is written as CSV (RFC 4180) or as JSON: one place for quoting, numbers and
// instants.
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "core/basis/ids.hpp"
#include "core/basis/units.hpp"

namespace wheymark {

// Nothing is an empty field, or null.
using Cell = std::variant<std::monostate, std::string, double, std::int64_t, bool, Instant>;

struct Table {
  std::vector<std::string_view> columns;
  std::vector<std::vector<Cell>> rows;  // each as long as the columns
};

template <class Thing>
Cell cell(const std::optional<Id<Thing>>& id) {
  return id ? Cell{id->text()} : Cell{};
}
template <class Value>
Cell cell(const std::optional<Value>& value) {
  return value ? Cell{*value} : Cell{};
}

// A header, then the rows; CR LF after each. A field with a comma, a quote or a line break is
// quoted, quotes within are doubled. Text that a spreadsheet would run as a formula is kept as it
// is: it is the household's own.
std::string csv_of(const Table& table);

// An array with an object each row.
nlohmann::json json_of(const Table& table);

}  // namespace wheymark
