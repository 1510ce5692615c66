// How far must a constant be moved, or which term left out, until something outside objects?
#pragma once

#include <array>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "tests/reference/outside.hpp"
#include "tests/reference/sensitivity.hpp"

namespace wheymark::published {

// The first check that these parameters break; nothing when all hold. A computation that refuses
// such parameters is as good as a check.
inline std::optional<std::string> broken_check(const Parameters& parameters) {
  try {
    const OutsideChecks checks(parameters);
    for (const OutsideCheck& one : checks.all()) {
      if (!one.holds()) return one.name + " (" + one.source + ")";
    }
  } catch (const std::exception&) {
    return "the computation itself";
  }
  return std::nullopt;
}

// From small to large: by how much a constant is moved. A pH by so much, a temperature by so many
// kelvin, anything else by a factor.
inline constexpr std::array ph_steps{0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 0.8};
inline constexpr std::array kelvin_steps{0.5, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 12.0};
inline constexpr std::array factors{1.02, 1.05, 1.1, 1.25, 1.5, 2.0, 4.0, 10.0};
inline constexpr std::size_t mutation_steps = 8;

struct Moved {
  double value;
  std::string by;
};

inline Moved moved(const ParameterRow& row, bool up, std::size_t step) {
  const double value = row.value(default_parameters());
  if (row.unit == "pH") {
    const double by = up ? ph_steps[step] : -ph_steps[step];
    return {value + by, fmt::format("{:+g}", by)};
  }
  if (row.unit == "degC") {
    const double by = up ? kelvin_steps[step] : -kelvin_steps[step];
    return {value + by, fmt::format("{:+g} K", by)};
  }
  return up ? Moved{value * factors[step], fmt::format("x {:g}", factors[step])}
            : Moved{value / factors[step], fmt::format("/ {:g}", factors[step])};
}

inline Parameters with(const ParameterRow& row, double value) {
  Parameters parameters = default_parameters();
  parameters.*row.member = value;
  return parameters;
}

struct Seen {
  std::size_t step;
  Moved moved;
  std::string check;
  bool plausible;  // still inside the constant's range
};

// The smallest step that is seen, found by halving: what is seen is taken to stay seen.
inline std::optional<Seen> smallest_seen(const ParameterRow& row, bool up) {
  std::size_t low = 0, high = mutation_steps;  // high is seen, or the end
  std::string check;
  while (low < high) {
    const std::size_t middle = (low + high) / 2;
    const auto broken = broken_check(with(row, moved(row, up, middle).value));
    if (broken) {
      high = middle;
      check = *broken;
    } else {
      low = middle + 1;
    }
  }
  if (high == mutation_steps) return std::nullopt;
  const Moved by = moved(row, up, high);
  return Seen{high, by, check, by.value >= row.min && by.value <= row.max};
}

struct Term {
  const char* name;
  std::function<void(Parameters&)> leave_out;
};

// Each term of the equations, left out by constants that make it nothing.
inline std::vector<Term> terms() {
  constexpr double never = 1e9;
  return {
      {"grains shed organisms", [](Parameters& o) { o.release_g_per_g_h = 0; }},
      {"organisms grow", [](Parameters& o) { o.growth_per_h = 0; }},
      {"acid comes with growth", [](Parameters& o) { o.acid_by_growth_g_per_g = 0; }},
      {"organisms make acid without growing",
       [](Parameters& o) { o.acid_by_milk_organisms_g_per_g_h = 0; }},
      {"grains make acid", [](Parameters& o) { o.acid_by_grains_g_per_g_h = 0; }},
      {"acid slows growth", [=](Parameters& o) { o.growth_half_at_undissociated_g_per_l = never; }},
      {"acid slows acid", [=](Parameters& o) { o.acid_half_at_undissociated_g_per_l = never; }},
      {"lactose runs out", [=](Parameters& o) { o.acid_from_lactose_g_per_g = never; }},
      {"goat's milk is slower", [](Parameters& o) { o.goat_time_factor = 1; }},
      {"ultra-pasteurised milk is slower",
       [](Parameters& o) { o.ultra_pasteurised_time_factor = 1; }},
      {"colloidal phosphate dissolves", [](Parameters& o) { o.colloidal_mmol_per_g = 0; }},
      {"phosphate precipitates", [](Parameters& o) { o.precipitation_mmol_per_g = 0; }},
      {"phosphate binds", [](Parameters& o) { o.phosphate_mmol_per_l = 0; }},
      {"citrate binds", [](Parameters& o) { o.citrate_mmol_per_l = 0; }},
      {"glutamate binds", [](Parameters& o) { o.glutamate_mmol_per_g = 0; }},
      {"aspartate binds", [](Parameters& o) { o.aspartate_mmol_per_g = 0; }},
      {"histidine binds", [](Parameters& o) { o.histidine_mmol_per_g = 0; }},
      {"phosphoserine binds", [](Parameters& o) { o.phosphoserine_mmol_per_g = 0; }},
      {"lysine binds", [](Parameters& o) { o.lysine_mmol_per_g = 0; }},
      {"air moves", [](Parameters& o) { o.convection_difference_k = 1e-9; }},
      {"walls radiate", [](Parameters& o) { o.surface_mean_c = -273; }},
      {"glass holds heat", [](Parameters& o) { o.glass_thickness_mm = 0; }},
      {"the base lets heat through", [](Parameters& o) { o.base_exposed_share = 0; }},
      {"gas waits", [](Parameters& o) { o.gas_lag_h = 1e-6; }},
      {"gas goes with the load", [](Parameters& o) { o.gas_load_exponent = 0; }},
      {"gas levels off", [=](Parameters& o) { o.gas_most_g_per_l = never; }},
      {"Henry's law goes with temperature", [](Parameters& o) { o.gas_solubility_slope_k = 0; }},
      {"the cold slows", [](Parameters& o) { o.cold_activation_kj_per_mol = 0; }},
      {"acid comes in the cold", [](Parameters& o) { o.cold_acid_most_g_per_l = 1e-9; }},
      {"gas comes in the cold", [](Parameters& o) { o.cold_gas_g_per_l_day = 0; }},
      {"grains grow", [](Parameters& o) { o.grain_growth_per_day = 0; }},
      {"growth ends in a long batch", [=](Parameters& o) { o.grain_growth_clock_h_max = never; }},
      {"rested grains are slow", [](Parameters& o) { o.rest_log_shift = 0; }},
      {"rested grains are less sure", [](Parameters& o) { o.rest_log_sd = 0; }},
      {"a pace drifts", [](Parameters& o) { o.pace_drift_log_sd_a_day = 0; }},
      {"batches are odd now and then", [](Parameters& o) { o.odd_batch_share = 0; }},
      {"batches scatter", [](Parameters& o) { o.batch_to_batch_log_sd = 1e-6; }},
      {"a report is mistaken now and then", [](Parameters& o) { o.mistaken_report_share = 0; }},
  };
}

inline std::string mutation_table() {
  std::string unseen_text,
      text =
          "# What something outside sees\n\n"
          "Each constant moved up and down until a check that rests on something outside breaks\n"
          "(`outside.hpp`): the smallest of eight steps (factors 1.02 to 10, 0.02 to 0.8 pH, 0.5 "
          "to 12 K).\n"
          "Beside it what a tenth more (0.1 pH, 1 K) does to the hour of the reference jar's "
          "peak.\n"
          "Where the check bears the constant's own name (densities, the pH of signs), it only "
          "compares\n"
          "the default with the document. \"Implausible\": outside the range in `parameters.cpp`.\n"
          "Written by `write-mutations`; some rows are computed again by each run of the tests.\n\n"
          "| constant | value | peak by a tenth more | up | seen by | down | seen by |\n"
          "| --- | ---: | ---: | ---: | --- | ---: | --- |\n";
  const auto cells = [](const std::optional<Seen>& seen) {
    if (!seen) return std::string("never | ");
    return fmt::format("{}{} | {}", seen->moved.by, seen->plausible ? "" : " (implausible)",
                       seen->check);
  };
  const double base_h = peak_h(Jar{});
  for (const ParameterRow& row : parameter_table()) {
    const auto up = smallest_seen(row, true), down = smallest_seen(row, false);
    Jar tenth_more;
    const double value = row.value(default_parameters());
    tenth_more.parameters.*row.member = row.unit == "pH"     ? value + 0.1
                                        : row.unit == "degC" ? value + 1
                                                             : 1.1 * value;
    text += fmt::format("| {} | {:g} | {} | {} | {} |\n", row.name, value,
                        hours(peak_h(tenth_more) - base_h), cells(up), cells(down));
    const bool seen_up = up && up->plausible, seen_down = down && down->plausible;
    if (!seen_up || !seen_down) {
      unseen_text += fmt::format("- `{}`{}\n", row.name,
                                 seen_up     ? ", downwards"
                                 : seen_down ? ", upwards"
                                             : "");
    }
  }
  text += "\n## Terms left out\n\n| term | seen by |\n| --- | --- |\n";
  for (const Term& term : terms()) {
    Parameters without = default_parameters();
    term.leave_out(without);
    text += fmt::format("| {} | {} |\n", term.name, broken_check(without).value_or("nothing"));
  }
  text +=
      "\n## Unseen inside the plausible range\n\n"
      "Nothing outside would object to any value in the range that `parameters.cpp` gives, or in\n"
      "its part above or below the default:\n\n" +
      unseen_text;
  return text;
}

}  // namespace wheymark::published
