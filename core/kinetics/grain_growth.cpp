#include "core/kinetics/grain_growth.hpp"

#include <cmath>
#include <limits>

namespace wheymark {
namespace {

constexpr double whole_batch_h = 24.0;

}  // namespace

double grown_share_of_batch(double hours) {
  return hours > whole_batch_h ? 1.0 : hours / whole_batch_h;
}

double batches_to_double(double growth_per_batch) {
  if (growth_per_batch <= 0.0) return std::numeric_limits<double>::infinity();
  return std::log(2.0) / std::log1p(growth_per_batch);
}

}  // namespace wheymark
