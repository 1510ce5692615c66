#include "core/forecast/rate_table.hpp"

#include "core/basis/limits.hpp"
#include "core/basis/units.hpp"
#include "core/kinetics/temperature_response.hpp"

namespace wheymark {

static_assert(limits::plausible_c_min == -5.0, "the table begins where temperatures begin");

RateTable::RateTable(const Parameters& parameters) {
  const auto steps = static_cast<std::size_t>((limits::plausible_c_max - first_c) * points_per_k);
  rates_.reserve(steps + 2);
  for (std::size_t i = 0; i <= steps + 1; ++i) {
    rates_.push_back(
        acid_rate(Celsius(first_c + static_cast<double>(i) / points_per_k), parameters));
  }
  last_place_ = static_cast<double>(steps);
}

}  // namespace wheymark
