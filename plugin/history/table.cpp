#include "plugin/history/table.hpp"

#include <cmath>
#include <fmt/format.h>

#include "core/basis/check.hpp"
#include "plugin/wire/instant_text.hpp"

namespace wheymark {
namespace {

// Three decimals: more would promise what no kitchen can measure.
double rounded(double number) {
  return std::round(number * 1000.0) / 1000.0;
}

std::string quoted(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

struct AsText {
  std::string operator()(std::monostate) const { return ""; }
  std::string operator()(const std::string& text) const { return quoted(text); }
  std::string operator()(double number) const {
    return std::isfinite(number) ? fmt::format("{}", rounded(number)) : "";
  }
  std::string operator()(std::int64_t count) const { return std::to_string(count); }
  std::string operator()(bool truth) const { return truth ? "true" : "false"; }
  std::string operator()(Instant instant) const {
    return rfc3339(std::chrono::round<std::chrono::seconds>(instant));
  }
};

struct AsJson {
  nlohmann::json operator()(std::monostate) const { return nullptr; }
  nlohmann::json operator()(const std::string& text) const { return text; }
  nlohmann::json operator()(double number) const {
    if (!std::isfinite(number)) return nullptr;
    return rounded(number);
  }
  nlohmann::json operator()(std::int64_t count) const { return count; }
  nlohmann::json operator()(bool truth) const { return truth; }
  nlohmann::json operator()(Instant instant) const { return AsText{}(instant); }
};

}  // namespace

std::string csv_of(const Table& table) {
  std::string csv;
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    if (i > 0) csv += ',';
    csv += table.columns[i];
  }
  csv += "\r\n";
  for (const std::vector<Cell>& row : table.rows) {
    check(row.size() == table.columns.size(), "a row has a cell for each column");
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i > 0) csv += ',';
      csv += std::visit(AsText{}, row[i]);
    }
    csv += "\r\n";
  }
  return csv;
}

nlohmann::json json_of(const Table& table) {
  nlohmann::json list = nlohmann::json::array();
  for (const std::vector<Cell>& row : table.rows) {
    check(row.size() == table.columns.size(), "a row has a cell for each column");
    nlohmann::json object = nlohmann::json::object();
    for (std::size_t i = 0; i < row.size(); ++i) {
      object[std::string(table.columns[i])] = std::visit(AsJson{}, row[i]);
    }
    list.push_back(std::move(object));
  }
  return list;
}

}  // namespace wheymark
