// Which lines do food codes draw, that a jar of kefir is compared with?
//
// They are shown beside what a jar does and never turned into a claim that it is safe: a ferment on
// the counter breaks the two hours by design, and is protected by its acid only once the acid is
// there.
#pragma once

namespace wheymark::food_safety {

// [foodcode2022] 3-501.16: food that needs the cold is held at 5 degC (41 degF) or below.
inline constexpr double cold_holding_c_max = 5.0;

// [usda2016] guidance for homes: the refrigerator at 40 degF or below; two hours out of it, one
// when it is hotter than 90 degF. Both are for food that is not acid.
inline constexpr double home_refrigerator_c_max = (40.0 - 32.0) / 1.8;
inline constexpr double out_of_the_cold_h_max = 2.0;
inline constexpr double hot_day_c = (90.0 - 32.0) / 1.8;
inline constexpr double out_of_the_cold_on_a_hot_day_h_max = 1.0;

// [cfr114] 114.3: acidified food has an equilibrium pH of 4.6 or below. The part leaves out
// refrigerated foods, so this is a line to look at, no rule for kefir.
inline constexpr double acid_ph_max = 4.6;

// [codex243] kefir: at least 0.6 % titratable acidity, as lactic acid.
inline constexpr double kefir_acidity_percent_min = 0.6;

}  // namespace wheymark::food_safety
