// What did others measure? The tables of this folder as values.
#pragma once

#include <charconv>
#include <filesystem>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

#include "core/basis/words.hpp"
#include "core/kinetics/milk_kind.hpp"

namespace wheymark::published {

// A table of text cells; its comment lines apart.
struct Table {
  std::string name;  // the file's, without its ending: mostly a key of the bibliography
  std::vector<std::string> comments;
  std::vector<std::string> columns;
  std::vector<std::map<std::string, std::string>> rows;

  [[nodiscard]] bool says(const std::string& text) const {
    for (const std::string& line : comments) {
      if (line.find(text) != std::string::npos) return true;
    }
    return false;
  }
  // The rest of the comment line that begins with this.
  [[nodiscard]] std::string word_after(const std::string& beginning) const {
    for (const std::string& line : comments) {
      if (line.starts_with(beginning)) return line.substr(beginning.size());
    }
    throw std::runtime_error(name + " does not say: " + beginning);
  }
};

inline double number(const std::string& cell) {
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error != std::errc() || end != cell.data() + cell.size()) {
    throw std::runtime_error("not a number: '" + cell + "'");
  }
  return value;
}

inline std::vector<std::string> cells(const std::string& line) {
  std::vector<std::string> parts(1);
  for (const char c : line) {
    if (c == ',') {
      parts.emplace_back();
    } else {
      parts.back() += c;
    }
  }
  return parts;
}

inline Table table(const std::filesystem::path& file) {
  Table result{file.stem().string(), {}, {}, {}};
  std::ifstream in(file);
  if (!in) throw std::runtime_error("no table " + file.string());
  std::vector<std::string>& names = result.columns;
  for (std::string line; std::getline(in, line);) {
    if (line.ends_with('\r')) line.pop_back();  // RFC 4180 ends lines with both
    if (line.starts_with('#')) {
      result.comments.push_back(line);
    } else if (names.empty()) {
      names = cells(line);
    } else {
      const std::vector<std::string> values = cells(line);
      if (values.size() != names.size()) throw std::runtime_error("bad row: " + line);
      auto& row = result.rows.emplace_back();
      for (std::size_t i = 0; i < names.size(); ++i) row[names[i]] = values[i];
    }
  }
  return result;
}

inline std::filesystem::path folder() {
  return std::filesystem::path(WHEYMARK_SOURCE_DIR) / "tests/reference";
}

inline std::vector<Table> tables(const std::string& subfolder) {
  std::map<std::string, Table> sorted;  // a directory has no order of its own
  for (const auto& file : std::filesystem::directory_iterator(folder() / subfolder)) {
    if (file.path().extension() == ".csv") {
      sorted.emplace(file.path().stem().string(), table(file.path()));
    }
  }
  std::vector<Table> all;
  for (auto& [name, one] : sorted) all.push_back(std::move(one));
  return all;
}

inline MilkKind milk(const std::string& cell) {
  const auto meaning = meaning_of<MilkKind>(cell);
  if (!meaning) throw std::runtime_error("no such milk: " + cell);
  return *meaning;
}

struct Point {
  double time_h;
  double ph;
};

// What a set was used for when the constants were chosen.
enum class Use {
  calibration,  // constants of the curve were chosen with it in view
  prior,        // only the prior of a culture's pace was set from it
  sealed        // nothing: its hours played no part in choosing the constants
};

inline Use use(const std::string& word) {
  if (word == "calibration") return Use::calibration;
  if (word == "prior") return Use::prior;
  if (word == "sealed") return Use::sealed;
  throw std::runtime_error("no such use: " + word);
}

inline const char* word(Use use) {
  return use == Use::calibration ? "calibration" : use == Use::prior ? "prior" : "sealed";
}

// One batch, or the mean of several like ones, at a constant temperature.
struct Acidification {
  std::string source;
  std::string name;
  bool by_grains;  // or by a liquid starter
  MilkKind milk;
  double percent;
  double temperature_c;
  bool stated;  // temperature and load were in the document
  Use use;
  std::vector<Point> points;
};

inline std::vector<Acidification> acidifications() {
  std::vector<Acidification> sets;
  for (const Table& t : tables("acidification")) {
    const std::string of = t.word_after("# use: ");
    for (const auto& row : t.rows) {
      if (sets.empty() || sets.back().name != row.at("set")) {
        sets.push_back({t.name,
                        row.at("set"),
                        row.at("culture") == "grains",
                        milk(row.at("milk")),
                        number(row.at("percent")),
                        number(row.at("temperature_c")),
                        row.at("conditions") == "stated",
                        use(of),
                        {}});
      }
      sets.back().points.push_back({number(row.at("time_h")), number(row.at("ph"))});
    }
  }
  return sets;
}

}  // namespace wheymark::published
