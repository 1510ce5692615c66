#include "core/kinetics/parameters.hpp"

#include <array>
#include <fmt/format.h>

namespace wheymark {
namespace {

using P = Parameters;
using Row = ParameterRow;

constexpr std::string_view estimate = "our estimate";
constexpr std::string_view practice = "common practice";

constexpr std::array parameter_rows{
    Row{"reference_c", "degC", &P::reference_c, 15, 30, estimate,
        "a choice: where most published batches were run"},
    Row{"milk_from_fridge_c", "degC", &P::milk_from_fridge_c, 0, 10, "foodcode2022",
        "cold holding is 5 degC or below"},
    Row{"acid_min_c", "degC", &P::acid_min_c, 0, 10, "medvedova2019",
        "4.0 for a mesophilic mixed starter in milk"},
    Row{"acid_best_c", "degC", &P::acid_best_c, 25, 39, estimate,
        "lactococci 28 to 35; fitted between them to kitchens at 18 to 30 degC"},
    Row{"acid_max_c", "degC", &P::acid_max_c, 38, 50,
        "from memory: lactococci by this model stop at 39 to 42 degC",
        "acid stops and grains are harmed"},
    Row{"gas_min_c", "degC", &P::gas_min_c, 0, 10, "salvado2011", "2 to 4 for S. cerevisiae"},
    Row{"gas_best_c", "degC", &P::gas_best_c, 26, 38, "gorsek2010",
        "55 kJ/mol between 18 and 30 degC against 64.3 published; the 32.3 of S. cerevisiae gives "
        "42; Kluyveromyces, from memory, 33 to 38"},
    Row{"gas_max_c", "degC", &P::gas_max_c, 39, 50, "salvado2011", "S. cerevisiae"},

    Row{"milk_density_g_per_ml", "g/mL", &P::milk_density_g_per_ml, 1.0, 1.06, "walstra2006",
        "cow's milk near 20 degC"},
    Row{"milk_specific_heat_j_per_g_k", "J/(g K)", &P::milk_specific_heat_j_per_g_k, 3.7, 4.1,
        "walstra2006", "3.85 to 3.99 in the dairy texts"},
    Row{"glass_density_g_per_ml", "g/mL", &P::glass_density_g_per_ml, 2.2, 2.8, "cengel2007",
        "soda-lime glass"},
    Row{"glass_specific_heat_j_per_g_k", "J/(g K)", &P::glass_specific_heat_j_per_g_k, 0.7, 0.9,
        "cengel2007", "soda-lime glass"},
    Row{"glass_thickness_mm", "mm", &P::glass_thickness_mm, 2, 8, estimate, "preserving jars"},
    Row{"jar_height_per_diameter", "1", &P::jar_height_per_diameter, 0.8, 3, estimate,
        "preserving jars, inside"},
    Row{"base_exposed_share", "1", &P::base_exposed_share, 0, 1, estimate,
        "a wooden counter lets about half through"},
    Row{"convection_w_per_m2_k", "W/(m2 K) at 1 K and 1 m", &P::convection_w_per_m2_k, 1.0, 2.0,
        "cengel2007", "vertical wall in laminar air, 1.42 (difference / height)^(1/4)"},
    Row{"convection_difference_k", "K", &P::convection_difference_k, 1, 20, estimate,
        "mean while fridge-cold milk warms; enters by its fourth root"},
    Row{"emissivity_share", "1", &P::emissivity_share, 0.8, 0.97, "cengel2007", "glass"},
    Row{"surface_mean_c", "degC", &P::surface_mean_c, 5, 35, estimate, "for radiation only"},

    Row{"glutamate_mmol_per_g", "mmol/g protein", &P::glutamate_mmol_per_g, 0.6, 1.1,
        "from memory: sequences of the caseins and of beta-lactoglobulin", "counted"},
    Row{"glutamate_pk", "pH", &P::glutamate_pk, 4.0, 4.8, "from memory: side chains in proteins",
        "chosen in 4.1 to 4.6 with lactic_pk, so that pH 4.6 stands at 0.70 % and kefirs scatter "
        "around the computed acidity"},
    Row{"aspartate_mmol_per_g", "mmol/g protein", &P::aspartate_mmol_per_g, 0.15, 0.6,
        "from memory: sequences of the caseins and of beta-lactoglobulin", "counted"},
    Row{"aspartate_pk", "pH", &P::aspartate_pk, 3.5, 4.3, "from memory: side chains in proteins",
        ""},
    Row{"histidine_mmol_per_g", "mmol/g protein", &P::histidine_mmol_per_g, 0.1, 0.3,
        "from memory: sequences of the caseins and of beta-lactoglobulin", "counted"},
    Row{"histidine_pk", "pH", &P::histidine_pk, 6.0, 7.0, "from memory: side chains in proteins",
        ""},
    Row{"phosphoserine_mmol_per_g", "mmol/g protein", &P::phosphoserine_mmol_per_g, 0.1, 0.3,
        "from memory: sequences of the caseins and of beta-lactoglobulin", "counted"},
    Row{"phosphoserine_pk", "pH", &P::phosphoserine_pk, 5.5, 6.8,
        "from memory: second constant of an organic phosphate", ""},
    Row{"lysine_mmol_per_g", "mmol/g protein", &P::lysine_mmol_per_g, 0.4, 0.7,
        "from memory: sequences of the caseins and of beta-lactoglobulin", "counted"},
    Row{"lysine_pk", "pH", &P::lysine_pk, 9.8, 10.8, "from memory: side chains in proteins", ""},
    Row{"phosphate_mmol_per_l", "mmol/L", &P::phosphate_mmol_per_l, 8, 13, "fox1998",
        "750 mg/L of phosphorus, 43 % of it dissolved"},
    Row{"phosphate_first_pk", "pH", &P::phosphate_first_pk, 1.5, 2.5, "fox1998", ""},
    Row{"phosphate_second_pk", "pH", &P::phosphate_second_pk, 6.4, 7.2, "fox1998", ""},
    Row{"citrate_mmol_per_l", "mmol/L", &P::citrate_mmol_per_l, 6, 12, "fox1998", "1750 mg/L"},
    Row{"citrate_first_pk", "pH", &P::citrate_first_pk, 2.7, 3.4, "fox1998", ""},
    Row{"citrate_second_pk", "pH", &P::citrate_second_pk, 4.2, 5.0, "fox1998", ""},
    Row{"citrate_third_pk", "pH", &P::citrate_third_pk, 5.1, 6.4, "fox1998", ""},
    Row{"colloidal_mmol_per_g", "mmol H+/g protein", &P::colloidal_mmol_per_g, 0.3, 0.9, "fox1998",
        "57 % of 24 mmol/L in the micelle, times about 1.35 protons, over 34 g/L of protein"},
    Row{"colloidal_pk", "pH", &P::colloidal_pk, 4.8, 5.4, "tomasula1999",
        "one buffering peak at pH 5.05; dissolved by 4.9"},
    Row{"precipitation_mmol_per_g", "mmol H+/g protein", &P::precipitation_mmol_per_g, 0, 0.6,
        estimate,
        "acid set free where calcium phosphate forms; fitted to the acidity of fresh milk"},
    Row{"precipitation_pk", "pH", &P::precipitation_pk, 7.0, 8.0, estimate, "between 6.7 and 8.3"},
    Row{"lactic_pk", "pH", &P::lactic_pk, 3.6, 3.95, "from memory: tables of constants, 25 degC",
        "3.86 in water; in milk 0.1 less by its ionic strength and a little by calcium that binds "
        "lactate"},

    Row{"growth_per_h", "1/h", &P::growth_per_h, 0.1, 1.2, estimate,
        "fitted to kitchens; a pure starter in rich medium reaches 1.10 at 30 degC"},
    Row{"acid_by_growth_g_per_g", "g/g", &P::acid_by_growth_g_per_g, 0.1, 5, "boonmee2003",
        "alpha 0.932"},
    Row{"acid_by_milk_organisms_g_per_g_h", "g/(g h)", &P::acid_by_milk_organisms_g_per_g_h, 0.2, 5,
        "boonmee2003",
        "beta 3.02 at 30 degC; fitted with growth so that no more organisms grow than sugar is "
        "gone"},
    Row{"acid_by_grains_g_per_g_h", "g/(g h)", &P::acid_by_grains_g_per_g_h, 0, 0.05, estimate,
        "per gram of wet grains; fitted to how time depends on the grain load"},
    Row{"release_g_per_g_h", "g/(g h)", &P::release_g_per_g_h, 1e-5, 0.01, estimate,
        "organisms shed into the milk per gram of wet grains"},
    Row{"growth_half_at_undissociated_g_per_l", "g/L", &P::growth_half_at_undissociated_g_per_l,
        0.1, 5, estimate, "growth falls to half near pH 4.6"},
    Row{"acid_half_at_undissociated_g_per_l", "g/L", &P::acid_half_at_undissociated_g_per_l, 0.1,
        10, estimate,
        "fitted to the tail from pH 4.5 to 3.7, its shape by kim2016, and to published one-day pH"},
    Row{"lactose_half_g_per_l", "g/L", &P::lactose_half_g_per_l, 0.05, 10, estimate,
        "only felt when nearly all lactose is gone"},
    Row{"acid_from_lactose_g_per_g", "g/g", &P::acid_from_lactose_g_per_g, 0.5, 1.052,
        "garciafontan2006",
        "4.92 to 4.02 % lactose against 0.75 % lactic acid; 1.052 is all of it"},
    Row{"goat_time_factor", "1", &P::goat_time_factor, 0.8, 1.5, practice,
        "goat's milk is slower; buffering alone does not say so"},
    Row{"ultra_pasteurised_time_factor", "1", &P::ultra_pasteurised_time_factor, 0.8, 2, estimate,
        "grains take to it poorly; by how much nobody has measured"},

    Row{"thickened_ph", "pH", &P::thickened_ph, 4.9, 5.6, "walstra2006",
        "gel onset at 5.2 to 5.3 in a warm room"},
    Row{"set_ph", "pH", &P::set_ph, 4.5, 5.0, estimate, "curd stands firm between 4.9 and 4.6"},
    Row{"peak_opens_ph", "pH", &P::peak_opens_ph, 4.3, 4.7, practice,
        "strained at pH 4.5, with the first whey pockets"},
    Row{"peak_closes_ph", "pH", &P::peak_closes_ph, 3.9, 4.4, estimate,
        "a clear layer of whey: 30 h near 20 degC by common practice; no paper read gives a pH"},
    Row{"thickened_log_sd", "1", &P::thickened_log_sd, 0.01, 0.5, estimate,
        "soft to see; what all batches of a household share is learned apart"},
    Row{"set_log_sd", "1", &P::set_log_sd, 0.01, 0.5, estimate, "the clearest sign"},
    Row{"peak_opens_log_sd", "1", &P::peak_opens_log_sd, 0.01, 0.5, estimate,
        "an eye's own; what batches scatter is batch_to_batch_log_sd"},
    Row{"peak_closes_log_sd", "1", &P::peak_closes_log_sd, 0.01, 0.5, estimate,
        "the curve is flat here"},
    Row{"ph_reading_sd_ph", "pH", &P::ph_reading_sd_ph, 0.02, 0.5, estimate, "a kitchen meter"},
    Row{"pace_prior_median", "1", &P::pace_prior_median, 0.3, 3, estimate,
        "what 11 published sources say in the middle; kitchens 1.0; see tests/reference"},
    Row{"pace_prior_log_sd", "1", &P::pace_prior_log_sd, 0.05, 1, estimate,
        "the 11 published sources scatter by 0.49, some of it from loads and temperatures that "
        "were not stated"},
    Row{"batch_to_batch_log_sd", "1", &P::batch_to_batch_log_sd, 0.02, 0.5, estimate,
        "one culture in one kitchen; seven laboratory batches scatter by 0.10 pH late on a flat "
        "curve, which would be 0.3 with the pH meter in it"},

    Row{"gas_lag_h", "h", &P::gas_lag_h, 0.1, 24, "guzelseydim2000", "ethanol only after 5 h"},
    Row{"gas_at_40_g_per_l_g_per_l_h", "g/(L h)", &P::gas_at_40_g_per_l_g_per_l_h, 0.01, 1,
        "chen2005",
        "1.18 g/L of ethanol at 20 h, 15 to 22.5 degC, 3 to 5 % grains; one carbon dioxide for "
        "each"},
    Row{"gas_load_exponent", "1", &P::gas_load_exponent, 0, 1, estimate,
        "yeasts come with the grains"},
    Row{"gas_most_g_per_l", "g/L", &P::gas_most_g_per_l, 1, 25, estimate,
        "ethanol of long kefir stays near or below 1 %"},
    Row{"gas_solubility_mol_per_m3_pa", "mol/(m3 Pa)", &P::gas_solubility_mol_per_m3_pa, 3e-4, 4e-4,
        "sander2023", "water at 25 degC; milk holds a little less"},
    Row{"gas_solubility_slope_k", "K", &P::gas_solubility_slope_k, 2000, 2800, "sander2023",
        "2300 to 2400"},

    Row{"strained_acid_share", "1", &P::strained_acid_share, 0.2, 1, estimate,
        "with what the cold's own clock adds, a day on the table sours as the acid's law does "
        "without its grains; no paper read follows strained kefir from hour to hour"},
    Row{"cold_activation_kj_per_mol", "kJ/mol", &P::cold_activation_kj_per_mol, 30, 120,
        "gorsek2010", "ethanol by the yeasts of kefir grains, at fermenting temperatures"},
    Row{"cold_acid_most_g_per_l", "g/L", &P::cold_acid_most_g_per_l, 0.5, 8, "leonardi2012",
        "a kefir 0.11 % in four weeks; two yoghurts 0.28 and 0.39 % [fsn2017]; fitted to four "
        "kefirs' pH"},
    Row{"cold_acid_days", "d at 4 degC", &P::cold_acid_days, 1, 30, "fsn2017",
        "half to two thirds of the gain of four weeks within the first"},
    Row{"cold_gas_g_per_l_day", "g/(L d) at 4 degC", &P::cold_gas_g_per_l_day, 0.01, 0.6, estimate,
        "geometric middle of kefirs with 0.8 and 5.1 g/L of ethanol after three weeks"},
    Row{"quick_gas_factor", "1", &P::quick_gas_factor, 1, 5, "koktas2013",
        "from the middle to 5.1 g/L of ethanol after three weeks"},
    Row{"sugar_gas_days", "d at 4 degC", &P::sugar_gas_days, 2, 40, practice,
        "sweetened kefir is fizzy after 12 to 48 h on the counter"},

    Row{"grain_growth_per_day", "1/d at the reference", &P::grain_growth_per_day, 0, 0.3, "ijm2020",
        "10 to 15.76 g in seven daily batches"},
    Row{"grain_growth_clock_h_max", "h", &P::grain_growth_clock_h_max, 12, 120, estimate,
        "after two days there is little left to live on"},

    Row{"odd_batch_share", "1", &P::odd_batch_share, 0, 0.3, estimate,
        "one batch in ten: a draught, other milk"},
    Row{"odd_batch_factor", "1", &P::odd_batch_factor, 1, 6, estimate,
        "how much further an odd batch scatters"},
    Row{"pace_drift_log_sd_a_day", "1/d^(1/2)", &P::pace_drift_log_sd_a_day, 0, 0.05, estimate,
        "1 % after a day, 5 % after a month"},
    Row{"rest_log_shift", "1", &P::rest_log_shift, -0.8, 0, practice,
        "the first batch after a week in the fridge takes up to half as long again"},
    Row{"rest_log_sd", "1", &P::rest_log_sd, 0, 0.6, estimate, "some cultures wake at once"},
    Row{"whole_rest_h", "h", &P::whole_rest_h, 48, 720, estimate,
        "a rest shorter than a week counts in proportion"},
    Row{"verdict_log_sd", "1", &P::verdict_log_sd, 0.01, 0.5, estimate,
        "a verdict is taste, and comes with the straining rather than with the look"},
    Row{"curve_sd_ph", "pH", &P::curve_sd_ph, 0.02, 0.3, estimate,
        "what the curve's shape adds to a pH reading's error; published curves are followed within "
        "0.03 to 0.11"},
    Row{"usual_log_sd", "1", &P::usual_log_sd, 0.02, 0.5, estimate,
        "hours as people round them, from memory"},
    Row{"usual_shared_log_sd", "1", &P::usual_shared_log_sd, 0, 0.5, estimate,
        "what everything that one household tells as usual is off by alike"},
    Row{"usual_air_sd_k", "K", &P::usual_air_sd_k, 0, 5, estimate,
        "a room's mean, told in whole degrees or taken from its latest days"},
    Row{"usual_air_unknown_sd_k", "K", &P::usual_air_unknown_sd_k, 0, 10, estimate,
        "a room of which nothing is known"},
    Row{"mistaken_report_share", "1", &P::mistaken_report_share, 0, 0.2, estimate,
        "the wrong jar, a slip of the finger"},
    Row{"not_begun_log_sd", "1", &P::not_begun_log_sd, 0, 0.3, estimate, "a whole day ahead"},
    Row{"another_load_log_sd", "1 each factor of e", &P::another_load_log_sd, 0, 0.5, estimate,
        "trial models' exponents of the load lie between 0.14 and 0.30"},
    Row{"another_room_log_sd_a_k", "1/K", &P::another_room_log_sd_a_k, 0, 0.1, estimate,
        "the slopes of published starters and yeasts differ by 0.01 each kelvin"},
};

Outcome in_order(const char* claim, bool holds, double a, double b, double c) {
  if (holds) return Nothing{};
  return Refusal{fmt::format("parameters {} must hold, found {}, {} and {}", claim, a, b, c)};
}

}  // namespace

const Parameters& default_parameters() {
  static constexpr Parameters defaults;
  return defaults;
}

std::span<const ParameterRow> parameter_table() {
  return parameter_rows;
}

Outcome in_range(const Parameters& p) {
  for (const ParameterRow& row : parameter_rows) {
    const double value = row.value(p);
    if (!(value >= row.min && value <= row.max)) {
      return Refusal{fmt::format("parameter {} is {} {}, allowed is {} to {}", row.name, value,
                                 row.unit, row.min, row.max)};
    }
  }
  // The cardinal model has a pole inside min..max unless its best lies above the middle.
  const auto cardinal = [](double min, double best, double max) {
    return best < max && 2 * best > min + max;
  };
  if (Outcome o = in_order("(acid_min_c + acid_max_c) / 2 < acid_best_c < acid_max_c",
                           cardinal(p.acid_min_c, p.acid_best_c, p.acid_max_c), p.acid_min_c,
                           p.acid_best_c, p.acid_max_c);
      !o) {
    return o;
  }
  if (Outcome o = in_order("(gas_min_c + gas_max_c) / 2 < gas_best_c < gas_max_c",
                           cardinal(p.gas_min_c, p.gas_best_c, p.gas_max_c), p.gas_min_c,
                           p.gas_best_c, p.gas_max_c);
      !o) {
    return o;
  }
  if (Outcome o = in_order("thickened_ph > set_ph > peak_opens_ph",
                           p.thickened_ph > p.set_ph && p.set_ph > p.peak_opens_ph, p.thickened_ph,
                           p.set_ph, p.peak_opens_ph);
      !o) {
    return o;
  }
  return in_order("set_ph > peak_opens_ph > peak_closes_ph",
                  p.set_ph > p.peak_opens_ph && p.peak_opens_ph > p.peak_closes_ph, p.set_ph,
                  p.peak_opens_ph, p.peak_closes_ph);
}

}  // namespace wheymark
