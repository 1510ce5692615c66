#include "plugin/history/table_of_before.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <utility>

#include "plugin/configuration/nearest_word.hpp"
#include "plugin/wire/fact_json.hpp"
#include "plugin/wire/instant_text.hpp"
#include "plugin/wire/json_text.hpp"

namespace wheymark {
namespace {

using nlohmann::json;

enum class Holds { word, number, instant, nothing_of_before };

const std::vector<std::pair<std::string, Holds>>& columns() {
  static const std::vector<std::pair<std::string, Holds>> all{
      {"batch", Holds::nothing_of_before},
      {"jar", Holds::word},
      {"culture", Holds::word},
      {"milk", Holds::word},
      {"treatment", Holds::word},
      {"milk_ml", Holds::number},
      {"grain_g", Holds::number},
      {"lid", Holds::word},
      {"place", Holds::word},
      {"milk_c", Holds::number},
      {"started", Holds::instant},
      {"room_c", Holds::number},
      {"peak", Holds::instant},
      {"peak_h", Holds::number},
      {"strained", Holds::instant},
      {"hours", Holds::number},
      {"verdict", Holds::word},
      {"over_fermented", Holds::nothing_of_before},
      {"grain_out_g", Holds::number},
      {"into", Holds::nothing_of_before},
      {"ended", Holds::nothing_of_before},
      {"ending", Holds::nothing_of_before},
      {"suspect", Holds::nothing_of_before}};
  return all;
}

struct Line {
  std::size_t number;
  std::vector<std::string> cells;
};

// A quote that is never closed takes in the rest.
std::vector<Line> lines_of(std::string_view csv) {
  if (csv.starts_with("\xef\xbb\xbf")) csv.remove_prefix(3);
  std::vector<Line> lines;
  Line line{1, {""}};
  std::size_t number = 1;
  bool quoted = false;
  const auto end_line = [&] {
    const bool is_blank = line.cells.size() == 1 && line.cells.front().empty();
    if (!is_blank) lines.push_back(std::move(line));
    line = {number, {""}};
  };
  for (std::size_t i = 0; i < csv.size(); ++i) {
    const char c = csv[i];
    if (c == '\n') ++number;
    if (quoted && c == '"' && i + 1 < csv.size() && csv[i + 1] == '"') {
      line.cells.back() += csv[++i];
    } else if (c == '"') {
      quoted = !quoted;
    } else if (!quoted && c == ',') {
      line.cells.emplace_back();
    } else if (!quoted && c == '\n') {
      end_line();
    } else if (quoted || c != '\r') {
      line.cells.back() += c;
    }
  }
  end_line();
  return lines;
}

std::optional<double> number_in(const std::string& cell) {
  double number = 0.0;
  const char* const end = cell.data() + cell.size();
  const auto [last, error] = std::from_chars(cell.data(), end, number);
  return error == std::errc{} && last == end ? std::optional(number) : std::nullopt;
}

// RFC 3339, or "2027-03-01 08:10" of the home's clock.
std::optional<Instant> instant_in(std::string cell, const HouseholdSetup& setup) {
  if (const auto at = instant_from_rfc3339(cell)) return at.value();
  constexpr std::size_t to_the_minute = 16;
  constexpr std::size_t to_the_second = 19;
  if (cell.size() == to_the_minute) cell += ":00";
  if (cell.size() != to_the_second) return std::nullopt;
  cell[10] = 'T';
  const auto local = instant_from_rfc3339(cell + "Z");
  if (!local) return std::nullopt;
  const Instant nearly = local.value() - setup.utc_offset(local.value());
  return local.value() - setup.utc_offset(nearly);
}

class TableReader {
 public:
  TableReader(const HouseholdSetup& setup, TableOfBefore& table) : setup_(setup), table_(table) {}

  // False: nothing can be read without it.
  bool read_header(const Line& header) {
    std::vector<std::string_view> known;
    for (const auto& [name, holds] : columns()) known.push_back(name);
    for (const std::string& name : header.cells) {
      if (std::find(known.begin(), known.end(), name) != known.end()) continue;
      complain(header, fmt::format("found the column {}; allowed: {}{}", shown_text(name),
                                   fmt::join(known, ", "),
                                   did_you_mean(name, {known.begin(), known.end()})));
    }
    header_ = header.cells;
    const auto has = [&](std::string_view name) {
      return std::count(header_.begin(), header_.end(), name) > 0;
    };
    for (const std::string& name : header_) {
      if (std::count(header_.begin(), header_.end(), name) > 1) {
        complain(header, fmt::format("found the column {} twice; allowed: once", shown_text(name)));
        break;
      }
    }
    if (!has("started")) complain(header, "found no column started; it is required");
    if (!has("strained") && !has("hours")) {
      complain(header, "found neither strained nor hours; one of the two columns is required");
    }
    return table_.complaints.empty();
  }

  void read_row(const Line& line) {
    if (line.cells.size() != header_.size()) {
      return complain(line, fmt::format("found {} cells; allowed: {}, as in the header",
                                        line.cells.size(), header_.size()));
    }
    const std::size_t before = table_.complaints.size();
    json fields = {{"fact", "remember"}};
    std::map<std::string_view, double> hours;
    for (std::size_t i = 0; i < header_.size(); ++i) read_cell(line, i, fields, hours);
    if (table_.complaints.size() > before) return;
    if (!fields.contains("strained") && !hours.contains("hours")) {
      ++table_.never_strained;
      return;
    }
    if (fields.contains("started")) count_hours(fields, hours);
    if (!fields.contains("jar")) fill_in_jar(fields);
    const auto said = report_from(fields, std::nullopt);
    if (!said) return complain(line, "column " + said.why());
    table_.rows.push_back({line.number, std::get<Remembered>(said.value().fact)});
  }

  void complain(const Line& line, const std::string& sentence) {
    table_.complaints.push_back(fmt::format("line {}: {}", line.number, sentence));
  }

 private:
  void read_cell(const Line& line, std::size_t i, json& fields,
                 std::map<std::string_view, double>& hours) {
    const std::string& name = header_[i];
    const std::string& cell = line.cells[i];
    const auto column = std::find_if(columns().begin(), columns().end(),
                                     [&](const auto& known) { return known.first == name; });
    if (cell.empty() || column->second == Holds::nothing_of_before) return;
    const auto wrong = [&](std::string_view allowed) {
      complain(line,
               fmt::format("column {}: found {}; allowed: {}", name, shown_text(cell), allowed));
    };
    if (column->second == Holds::word) {
      fields[name] = cell;
    } else if (column->second == Holds::instant) {
      const auto at = instant_in(cell, setup_);
      if (!at) return wrong("RFC 3339, such as 2027-03-01T08:10:00Z, or 2027-03-01 08:10");
      fields[name] = rfc3339(*at);
    } else if (const auto number = number_in(cell); !number) {
      wrong("a number");
    } else if (name == "hours" || name == "peak_h") {
      if (!(*number > 0.0 && *number <= 168.0)) return wrong("more than 0, up to 168 h");
      hours[name] = *number;
    } else {
      fields[name] = *number;
    }
  }

  static void count_hours(json& fields, const std::map<std::string_view, double>& hours) {
    const Instant started = instant_from_rfc3339(fields["started"].get<std::string>()).value();
    const auto count = [&](const char* hours_name, const char* name) {
      const auto found = hours.find(hours_name);
      if (found != hours.end() && !fields.contains(name)) {
        fields[name] = rfc3339(after_hours(started, found->second));
      }
    };
    count("hours", "strained");
    count("peak_h", "peak");
  }

  void fill_in_jar(json& fields) const {
    std::string culture;
    if (fields.contains("culture")) culture = fields["culture"].get<std::string>();
    if (culture.empty() && setup_.cultures.size() == 1) culture = setup_.cultures.front().id.text();
    const JarSetup* jar = usual_jar(CultureId(culture), setup_);
    if (jar != nullptr) fields["jar"] = jar->id.text();
  }

  const HouseholdSetup& setup_;
  TableOfBefore& table_;
  std::vector<std::string> header_;
};

}  // namespace

TableOfBefore table_of_before(std::string_view csv, const HouseholdSetup& setup) {
  TableOfBefore table;
  TableReader reader(setup, table);
  const std::vector<Line> lines = lines_of(csv);
  if (lines.empty()) {
    table.complaints.emplace_back("the table is empty; the first line names the columns");
    return table;
  }
  if (!reader.read_header(lines.front())) return table;
  for (auto line = lines.begin() + 1; line != lines.end(); ++line) reader.read_row(*line);
  return table;
}

}  // namespace wheymark
