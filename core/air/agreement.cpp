#include "core/air/agreement.hpp"

#include <algorithm>
#include <cmath>

#include "core/basis/check.hpp"

namespace wheymark {
namespace {

constexpr double agrees_within_k = 3.0;
constexpr double doubted_from_k = 2.0;

double median_c(std::span<const Celsius> readings) {
  std::vector<double> sorted;
  for (const Celsius air : readings) sorted.push_back(air.degrees());
  std::sort(sorted.begin(), sorted.end());
  const std::size_t half = sorted.size() / 2;
  return sorted.size() % 2 == 1 ? sorted[half] : 0.5 * (sorted[half - 1] + sorted[half]);
}

}  // namespace

Agreement agreement_of(std::span<const Celsius> readings, std::optional<Celsius> before) {
  check(!readings.empty(), "an agreement is of at least one reading");
  double middle_c = median_c(readings);
  const auto distance_k = [&](Celsius air) { return std::abs(air.degrees() - middle_c); };
  const auto agrees = [&](Celsius air) { return distance_k(air) <= agrees_within_k; };
  if (std::none_of(readings.begin(), readings.end(), agrees)) {
    if (before) middle_c = before->degrees();
    const auto nearer = [&](Celsius a, Celsius b) { return distance_k(a) < distance_k(b); };
    middle_c = std::min_element(readings.begin(), readings.end(), nearer)->degrees();
  }
  Agreement agreement{Celsius(0.0), 0.0, {}};
  double sum_c = 0.0;
  double lowest_c = HUGE_VAL;
  double highest_c = -HUGE_VAL;
  int count = 0;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (!agrees(readings[i])) {
      agreement.apart.push_back(i);
      continue;
    }
    const double air_c = readings[i].degrees();
    sum_c += air_c;
    lowest_c = std::min(lowest_c, air_c);
    highest_c = std::max(highest_c, air_c);
    ++count;
  }
  agreement.air = Celsius(sum_c / count);
  const double differ_k = highest_c - lowest_c;
  if (differ_k > doubted_from_k) agreement.doubt_k = 0.5 * differ_k;
  return agreement;
}

}  // namespace wheymark
