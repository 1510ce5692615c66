// How much do grains gain in a batch?
//
// Published: 10 g became 15.76 g in seven daily batches of 10 % in cow's milk at 25 degC [ijm2020],
// which is 6.7 % a batch and doubles in eleven days; the trade says one to two weeks. How growth
// depends on temperature and load is hardly published, so here it depends on neither; a household's
// own weighings correct it.
#pragma once

namespace wheymark {

inline constexpr double grain_growth_per_batch = 0.067;

// How much of a batch's growth has come after so many hours (not negative): all of it after a day,
// as a published batch lasted, in proportion before; nothing more afterwards, in milk that is used
// up. NaN for NaN.
double grown_share_of_batch(double hours);

// Batches until the grains have doubled; infinity when they do not grow. NaN for NaN.
double batches_to_double(double growth_per_batch);

}  // namespace wheymark
