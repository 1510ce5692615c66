// Does every number of the computation stand in the table, or say there why it stands elsewhere?
#include <gtest/gtest.h>
#include <regex>
#include <set>
#include <sstream>

#include "core/kinetics/bibliography.hpp"
#include "core/kinetics/parameters.hpp"
#include "tests/reference/published.hpp"

namespace wheymark::published {
namespace {

const std::filesystem::path core = std::filesystem::path(WHEYMARK_SOURCE_DIR) / "core";

// Halves, doubles, hours of a day, units.
const std::set<std::string> arithmetic{"0.0",    "0.5",    "1.0",  "2.0",  "3.0",  "4.0",
                                       "6.0",    "10.0",   "20.0", "24.0", "60.0", "100.0",
                                       "1000.0", "3600.0", "1e-3", "1e-6", "1e6",  "3.6e6"};

// Where a number has no name, the number; else the name of the constant whose value it is in.
std::vector<std::string> unexplained_in(std::string code, const std::set<std::string>& explained) {
  code = std::regex_replace(code, std::regex("\"([^\"\\\\\n]|\\\\.)*\"|//[^\n]*"), "");
  static const std::regex number(R"(\b(\d+\.\d+(e[-+]?\d+)?|\d+e[-+]?\d+)\b)");
  static const std::regex constant(R"(const(expr)?\b[^;=]*?\b(\w+)\s*(=|\{|\s*$))");
  std::vector<std::string> found;
  for (std::sregex_iterator hit(code.begin(), code.end(), number), end; hit != end; ++hit) {
    const std::string literal = hit->str();
    if (arithmetic.contains(literal) || explained.contains(literal)) continue;
    const auto at = static_cast<std::size_t>(hit->position());
    const std::size_t before = code.rfind(';', at);
    const std::string statement =
        code.substr(before == std::string::npos ? 0 : before, at - before);
    std::smatch name;
    std::string last, rest = statement;
    while (std::regex_search(rest, name, constant)) {
      last = name[2].str();
      rest = name.suffix().str();
    }
    if (!explained.contains(last)) found.push_back(literal + (last.empty() ? "" : " in " + last));
  }
  return found;
}

bool is_table(const std::string& file) {
  return file.find("parameters.") != std::string::npos || file == "kinetics/milk.cpp" ||
         file == "kinetics/bibliography.cpp";
}

TEST(Numbers, AreFoundWhereTheyStand) {
  EXPECT_EQ(unexplained_in("x = 0.37 * y;", {}), std::vector<std::string>{"0.37"});
  EXPECT_EQ(unexplained_in("constexpr double a = 0.37;", {}),
            std::vector<std::string>{"0.37 in a"});
  EXPECT_TRUE(unexplained_in("constexpr double a = 0.37;  // 0.4", {"a"}).empty());
  EXPECT_EQ(unexplained_in("constexpr std::array<double, 2> a{0.3, 1.4};\n f(0.9);", {"a"}),
            std::vector<std::string>{"0.9"});
  EXPECT_TRUE(unexplained_in("f(2.0 * x, \"0.4\");", {}).empty());
}

TEST(Numbers, OfTheComputationStandInTheTableOrSayWhyNot) {
  int files = 0;
  for (const char* folder : {"kinetics", "pace", "forecast"}) {
    for (const auto& entry : std::filesystem::directory_iterator(core / folder)) {
      const std::string file = std::string(folder) + "/" + entry.path().filename().string();
      if (is_table(file)) continue;
      std::set<std::string> explained;
      for (const NumberElsewhere& row : numbers_elsewhere()) {
        if (row.file == file) explained.emplace(row.mark);
      }
      std::stringstream code;
      code << std::ifstream(entry.path()).rdbuf();
      for (const std::string& found : unexplained_in(code.str(), explained)) {
        ADD_FAILURE() << file << ": " << found;
      }
      ++files;
    }
  }
  EXPECT_GT(files, 30);
}

TEST(Numbers, WhatStandsElsewhereDoes) {
  std::set<std::string> keys{"our estimate", "common practice", "numerics", "definition"};
  for (const Citation& citation : bibliography()) keys.emplace(citation.key);
  for (const NumberElsewhere& row : numbers_elsewhere()) {
    std::stringstream code;
    code << std::ifstream(core / row.file).rdbuf();
    EXPECT_NE(code.str().find(row.mark), std::string::npos) << row.file << ": " << row.mark;
    EXPECT_FALSE(row.what.empty()) << row.mark;
    EXPECT_TRUE(keys.contains(std::string(row.source)) || row.source.starts_with("from memory: "))
        << row.mark;
  }
}

}  // namespace
}  // namespace wheymark::published
