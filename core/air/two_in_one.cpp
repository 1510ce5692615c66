#include "core/air/two_in_one.hpp"

#include <algorithm>
#include <cmath>

namespace wheymark {
namespace {

constexpr double apart_k = 3.0;
constexpr double times_the_width = 2.0;  // of the wider group
constexpr std::chrono::minutes quickly{6};
constexpr int changes_min = 6;
constexpr std::size_t readings_min = 10;

}  // namespace

void TwoInOne::read(Instant now, Celsius air) {
  heard_[count_ % heard_.size()] = {now, air.degrees()};
  ++count_;
  // Most thermometers are alone: nothing more is done for a reading that is like the one before.
  const double before_c = heard_[(count_ + heard_.size() - 2) % heard_.size()].air_c;
  const bool may_be = std::abs(air.degrees() - before_c) >= apart_k;
  if (count_ >= readings_min && (may_be || groups_)) groups_ = found();
}

std::optional<TwoInOne::Groups> TwoInOne::found() const {
  const std::size_t count = std::min(count_, heard_.size());
  std::array<double, 24> sorted{};
  for (std::size_t i = 0; i < count; ++i) sorted[i] = heard_[i].air_c;
  std::sort(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(count));
  std::size_t high_from = 1;  // the first of the upper group
  for (std::size_t i = 2; i < count; ++i) {
    if (sorted[i] - sorted[i - 1] > sorted[high_from] - sorted[high_from - 1]) high_from = i;
  }
  const double gap_k = sorted[high_from] - sorted[high_from - 1];
  const double width_k =
      std::max(sorted[high_from - 1] - sorted[0], sorted[count - 1] - sorted[high_from]);
  if (gap_k < apart_k || gap_k < times_the_width * width_k) return std::nullopt;

  const double border_c = 0.5 * (sorted[high_from] + sorted[high_from - 1]);
  int changes = 0;
  for (std::size_t i = count_ - count + 1; i < count_; ++i) {
    const Heard& a = heard_[(i - 1) % heard_.size()];
    const Heard& b = heard_[i % heard_.size()];
    if ((a.air_c < border_c) != (b.air_c < border_c) && b.at - a.at <= quickly) ++changes;
  }
  if (changes < changes_min) return std::nullopt;

  const auto mean_c = [&](std::size_t from, std::size_t until) {
    double sum_c = 0.0;
    for (std::size_t i = from; i < until; ++i) sum_c += sorted[i];
    return sum_c / static_cast<double>(until - from);
  };
  return Groups{Celsius(mean_c(0, high_from)), Celsius(mean_c(high_from, count)), border_c};
}

}  // namespace wheymark
