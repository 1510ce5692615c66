// How heavy are the grains after a batch?
//
// They grow in proportion to their mass while there is food and the milk is not too sour, faster
// when warmer up to what the acid clock says; a batch left standing lets them starve, not grow. One
// published series and common practice stand behind it: grains of one household grow half as fast
// or twice, and weighing them overrules this. Above 27 degC, the best of 17, 27 and 37
// [yildiz2017], it gives too much.
#pragma once

#include "core/kinetics/parameters.hpp"

namespace wheymark {

// Drained grains after a batch of so many hours on the acid clock at pace 1 (so that a warm batch
// counts more). Nothing grows before clock 0. `grain_g` not negative. NaN for NaN.
double grain_after_batch_g(double grain_g, double acid_clock_h, const Parameters& parameters);

}  // namespace wheymark
