// Constants of nature and of substances.
#pragma once

namespace wheymark {

inline constexpr double zero_celsius_k = 273.15;  // by definition of the degree Celsius

inline constexpr double gas_constant_j_per_mol_k = 8.314463;  // CODATA 2018

// Molar masses from the standard atomic weights (IUPAC, abridged): C 12.011, H 1.008, O 15.999.
inline constexpr double carbon_dioxide_g_per_mol = 44.01;
inline constexpr double ethanol_g_per_mol = 46.07;
inline constexpr double sucrose_g_per_mol = 342.30;
// Four molecules of each come of one sucrose: the most that yeast can make of it.
inline constexpr double carbon_dioxide_g_per_sucrose_g =
    4.0 * carbon_dioxide_g_per_mol / sucrose_g_per_mol;
// Where yeast makes ethanol of sugar, one molecule comes with each of carbon dioxide.
inline constexpr double ethanol_g_per_carbon_dioxide_g =
    ethanol_g_per_mol / carbon_dioxide_g_per_mol;

}  // namespace wheymark
