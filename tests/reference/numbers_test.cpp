// Does every number of the computation stand in the table, or say there why it stands elsewhere?
#include <array>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tests/vocabulary/bibliography.hpp"

namespace wheymark::published {
namespace {

// A number that is no parameter and stands where it is used: a natural constant, the step of a
// solver, a list on which a belief is spread out. `mark` is its name there, or the number itself
// where it has none.
struct NumberElsewhere {
  std::string_view file;  // below core/
  std::string_view mark;
  std::string_view what;
  std::string_view source;  // a key, a mark as above, "definition" or "numerics"
};

constexpr std::string_view estimate = "our estimate";
constexpr std::string_view practice = "common practice";
constexpr std::string_view numerics = "numerics";
constexpr std::string_view definition = "definition";

constexpr std::array numbers_elsewhere{
    NumberElsewhere{"kinetics/buffering.cpp", "water_ion_product", "of water at 25 degC, mol2/L2",
                    "from memory: tables of constants, 25 degC"},
    NumberElsewhere{"kinetics/buffering.cpp", "acid_g_per_l_max", "no milk yields more", numerics},
    NumberElsewhere{"kinetics/buffering.cpp", "1e-12", "pH, of a root", numerics},
    NumberElsewhere{"kinetics/buffering.hpp", "titration_end_ph", "where acidity is titrated to",
                    definition},
    NumberElsewhere{"kinetics/buffering.hpp", "lactic_acid_g_per_mol", "molar mass", definition},
    NumberElsewhere{"kinetics/heat.cpp", "stefan_boltzmann_w_per_m2_k4", "natural constant",
                    definition},
    NumberElsewhere{"kinetics/gas.cpp", "standard_k", "where solubilities are given, K",
                    "sander2023"},
    NumberElsewhere{"kinetics/gas.cpp", "pa_per_bar", "unit", definition},
    NumberElsewhere{"kinetics/gas.cpp", "reference_load_g_per_l",
                    "the load that gas_at_40_g_per_l_g_per_l_h names", definition},
    NumberElsewhere{"kinetics/acid_curve.cpp", "curve_step_h", "of the table of a curve", numerics},
    NumberElsewhere{"kinetics/acid_curve.cpp", "1e-9", "tolerance of the solver", numerics},
    NumberElsewhere{"kinetics/acid_curve.cpp", "1e-10", "of a root, in steps of the table",
                    numerics},
    NumberElsewhere{"kinetics/condition.cpp", "panel_h_max", "of the quadrature", numerics},
    NumberElsewhere{"kinetics/condition.cpp", "points", "Gauss-Legendre", numerics},
    NumberElsewhere{"kinetics/condition.cpp", "weights", "Gauss-Legendre", numerics},
    NumberElsewhere{"forecast/clock_ahead.cpp", "propagation_step_h", "of the march ahead",
                    numerics},
    NumberElsewhere{"forecast/forecast.cpp", "nodes", "Gauss-Hermite", numerics},
    NumberElsewhere{"forecast/forecast.cpp", "12.0", "steps of the march in an hour", numerics},
    NumberElsewhere{"forecast/forecast.cpp", "0.05", "how far ahead a peak's end is followed",
                    numerics},
    NumberElsewhere{"forecast/forecast.cpp", "0.1", "the 80 % that are said", definition},
    NumberElsewhere{"forecast/forecast.cpp", "0.9", "the 80 % that are said", definition},
    NumberElsewhere{"forecast/in_time.cpp", "chance_min", "below it nothing is said", numerics},
    NumberElsewhere{"forecast/rate_table.hpp", "first_c", "where the table of rates begins",
                    numerics},
    NumberElsewhere{"forecast/rate_table.cpp", "5.0", "the same, checked", numerics},
    NumberElsewhere{"pace/pace_grid.hpp", "step", "of the grid of paces", numerics},
    NumberElsewhere{"pace/pace_grid.hpp", "log_pace_max", "its end: six times the reference",
                    numerics},
    NumberElsewhere{"pace/observation.cpp", "look_step", "of the table of looks", numerics},
    NumberElsewhere{"pace/observation.cpp", "ninths", "middles of nine shares of the normal",
                    numerics},
    NumberElsewhere{"pace/observation.cpp", "habits",
                    "shares of people, and how many hours they wait between looks", estimate},
    NumberElsewhere{"pace/culture_pace.cpp", "scatter_factors",
                    "multiples of batch_to_batch_log_sd that are tried", estimate},
    NumberElsewhere{"pace/culture_pace.cpp", "scatter_prior", "how likely each is", estimate},
    NumberElsewhere{"pace/sign_spacing.hpp", "spacings_before",
                    "courses to the peak that are tried", estimate},
    NumberElsewhere{"pace/sign_spacing.hpp", "spacings_after", "courses after it", estimate},
    NumberElsewhere{"pace/sign_spacing.hpp", "before_prior", "how likely each is", estimate},
    NumberElsewhere{"pace/sign_spacing.hpp", "after_prior", "how likely each is: a factor of four",
                    estimate},
    NumberElsewhere{"pace/rested_pace.hpp", "hardly_a_rest_h", "shorter is no rest", practice},
    NumberElsewhere{"pace/culture_health.cpp", "limit_sd", "of the alarm, measured in simulation",
                    estimate},
    NumberElsewhere{"pace/culture_health.cpp", "worth_a_word_log", "a change by 16 %", estimate},
    NumberElsewhere{"pace/culture_health.hpp", "slope_variance_before",
                    "how far a culture's answer to warmth may differ", estimate},
    NumberElsewhere{"pace/culture_health.cpp", "one_batch_sd_max",
                    "a single batch counts as so far", estimate},
    NumberElsewhere{"pace/culture_health.cpp", "one_batch_teaches_sd_max", "and teaches as so far",
                    estimate},
    NumberElsewhere{"pace/culture_health.cpp", "weeks_differ_log_sd",
                    "what a week's batches have in common", estimate},
    NumberElsewhere{"pace/culture_health.cpp", "remembered_batches", "slower change is ageing",
                    estimate},
    NumberElsewhere{"pace/culture_health.cpp", "useful_log_sd_max",
                    "a batch known worse is passed over", estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "soon_h", "who is told goes there", estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "later_h", "or when something else is done",
                    estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "untold_per_h", "who waits to be told", estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "their_hour_sd_h", "who goes by the clock",
                    estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "otherwise_share", "and does not always", estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "otherwise_per_h", "a day has twenty such hours",
                    estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "a_day_sd_h", "a day, more or less", estimate},
    NumberElsewhere{"pace/straining_habit.cpp", "forgotten_share", "people change", estimate},
    NumberElsewhere{"pace/straining_habit.hpp", "looks_before", "how likely each kind is",
                    estimate},
    NumberElsewhere{"pace/straining_habit.hpp", "obeys_before", "the same", estimate},
    NumberElsewhere{"pace/straining_habit.hpp", "by_the_clock_before", "the same", estimate},
    NumberElsewhere{"pace/usual_hours.cpp", "by_chance_max",
                    "chi-square of one degree of freedom, 99 %", definition},
    NumberElsewhere{"pace/culture_health.cpp", "foot", "of a likelihood, left out", numerics},
};

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
  return file.find("parameters.") != std::string::npos || file == "kinetics/milk.cpp";
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
      for (const NumberElsewhere& row : numbers_elsewhere) {
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
  keys.merge(test::keys_of_the_bibliography());
  for (const NumberElsewhere& row : numbers_elsewhere) {
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
