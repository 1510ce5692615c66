// Which numbers does the computation of a jar rest on, and where does each come from?
//
// Every number that could be argued about is a member here, with its default. The table below says
// for each one what it is, in which range it stays plausible and its source: a key of the
// bibliography, or one of the marks "our estimate", "common practice" and "from memory: ...".
// The defaults describe an average culture (pace 1); what one culture really does is learned.
#pragma once

#include <span>
#include <string_view>

#include "core/basis/result.hpp"

namespace wheymark {

struct Parameters {
  // Temperatures. Clocks count hours at the reference temperature.
  double reference_c = 25.0;
  double milk_from_fridge_c = 5.0;
  double acid_min_c = 4.0;
  double acid_best_c = 33.0;
  double acid_max_c = 42.0;
  double gas_min_c = 3.0;
  double gas_best_c = 35.0;
  double gas_max_c = 45.4;

  // The jar in still air.
  double milk_density_g_per_ml = 1.030;
  double milk_specific_heat_j_per_g_k = 3.93;
  double glass_density_g_per_ml = 2.5;
  double glass_specific_heat_j_per_g_k = 0.84;
  double glass_thickness_mm = 4.0;
  double jar_height_per_diameter = 1.5;
  double base_exposed_share = 0.5;
  double convection_w_per_m2_k = 1.42;
  double convection_difference_k = 8.0;
  double emissivity_share = 0.90;
  double surface_mean_c = 20.0;

  // What binds acid in the milk.
  double glutamate_mmol_per_g = 0.86;
  double glutamate_pk = 4.32;
  double aspartate_mmol_per_g = 0.28;
  double aspartate_pk = 3.9;
  double histidine_mmol_per_g = 0.19;
  double histidine_pk = 6.5;
  double phosphoserine_mmol_per_g = 0.21;
  double phosphoserine_pk = 6.0;
  double lysine_mmol_per_g = 0.50;
  double lysine_pk = 10.3;
  double phosphate_mmol_per_l = 10.4;
  double phosphate_first_pk = 1.96;
  double phosphate_second_pk = 6.83;
  double citrate_mmol_per_l = 9.3;
  double citrate_first_pk = 3.08;
  double citrate_second_pk = 4.74;
  double citrate_third_pk = 5.40;
  double colloidal_mmol_per_g = 0.55;
  double colloidal_pk = 5.10;
  double precipitation_mmol_per_g = 0.25;
  double precipitation_pk = 7.40;
  double lactic_pk = 3.70;

  // How grains and what they release turn lactose into acid, per hour at the reference temperature.
  double growth_per_h = 0.40;
  double acid_by_growth_g_per_g = 0.93;
  double acid_by_milk_organisms_g_per_g_h = 3.0;
  double acid_by_grains_g_per_g_h = 0.0065;
  double release_g_per_g_h = 0.000195;
  double growth_half_at_undissociated_g_per_l = 0.58;
  double acid_half_at_undissociated_g_per_l = 0.32;
  double lactose_half_g_per_l = 1.0;
  double acid_from_lactose_g_per_g = 0.83;
  double goat_time_factor = 1.10;
  double ultra_pasteurised_time_factor = 1.10;

  // What the eye sees, and how far eyes and batches scatter (as log-standard-deviations of clock
  // hours, so that 0.1 reads as ten per cent).
  double thickened_ph = 5.20;
  double set_ph = 4.75;
  double peak_opens_ph = 4.50;
  double peak_closes_ph = 4.25;
  double thickened_log_sd = 0.08;
  double set_log_sd = 0.06;
  double peak_opens_log_sd = 0.03;
  double peak_closes_log_sd = 0.08;
  double ph_reading_sd_ph = 0.10;
  double pace_prior_median = 0.90;
  double pace_prior_log_sd = 0.40;
  double batch_to_batch_log_sd = 0.10;

  // Gas.
  double gas_lag_h = 5.0;
  double gas_at_40_g_per_l_g_per_l_h = 0.15;
  double gas_load_exponent = 0.5;
  double gas_most_g_per_l = 10.0;
  double gas_solubility_mol_per_m3_pa = 3.4e-4;
  double gas_solubility_slope_k = 2400.0;

  // Once the grains are out; counted in days at 4 degC, but for the first.
  double strained_acid_share = 0.6;
  double cold_activation_kj_per_mol = 64.3;
  double cold_acid_most_g_per_l = 1.4;
  double cold_acid_days = 7.0;
  double cold_gas_g_per_l_day = 0.09;
  double quick_gas_factor = 2.5;
  double sugar_gas_days = 10.0;

  // Grains.
  double grain_growth_per_day = 0.065;
  double grain_growth_clock_h_max = 48.0;

  // What is believed of cultures, and of what people say. Scatters as log-standard-deviations.
  double odd_batch_share = 0.10;
  double odd_batch_factor = 3.0;
  double pace_drift_log_sd_a_day = 0.010;
  double rest_log_shift = -0.40;
  double rest_log_sd = 0.30;
  double whole_rest_h = 168.0;
  double verdict_log_sd = 0.08;
  double curve_sd_ph = 0.08;
  double usual_log_sd = 0.12;
  double usual_shared_log_sd = 0.03;
  double usual_air_sd_k = 1.0;
  double usual_air_unknown_sd_k = 2.5;
  double mistaken_report_share = 0.02;
  double not_begun_log_sd = 0.04;
  double another_load_log_sd = 0.08;
  double another_room_log_sd_a_k = 0.01;
};

const Parameters& default_parameters();

// One line of the table: where a parameter lives, and why it has its value.
struct ParameterRow {
  std::string_view name;
  std::string_view unit;  // "1" for a pure number
  double Parameters::*member;
  double min;
  double max;
  std::string_view source;
  std::string_view note;

  [[nodiscard]] double value(const Parameters& parameters) const { return parameters.*member; }
};

// One row for each member, in the order of declaration.
std::span<const ParameterRow> parameter_table();

// Refuses the first parameter outside its range (NaN too), with name, value and range; and sets
// whose members contradict each other: cardinal temperatures or signs out of order.
Outcome in_range(const Parameters& parameters);

}  // namespace wheymark
