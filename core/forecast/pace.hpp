// How fast these grains are, as a belief: a probability for each pace on a fixed grid.
//
// Pace 1 is the published reference culture; a culture of pace 2 needs half the time. Before
// anybody has reported anything the belief is the spread of published and kitchen cultures. A
// report says how far the batch was after so many hours of the pace-1 clock, and weighs every pace
// by how well it would explain that. Reports are never believed entirely: a small share of them is
// taken as mistaken, so that one wrong word does not rule out the truth.
#pragma once

#include <array>
#include <cstddef>

namespace wheymark {

class PaceBelief {
 public:
  // Log-normal with this median and standard deviation of the logarithm (> 0).
  static PaceBelief prior(double median, double log_sd);

  // The pace below which the belief holds this share (0 < share < 1).
  [[nodiscard]] double quantile(double share) const;

  // Weighs every pace by `likelihood(pace)`, a density or a probability on any common scale.
  template <class Likelihood>
  void weigh(Likelihood likelihood) {
    std::array<double, grid_size> by_pace{};
    for (std::size_t i = 0; i < grid_size; ++i) by_pace[i] = likelihood(pace_at(i));
    multiply(by_pace);
  }

 private:
  // ln(pace) from -1.8 to 1.8: a sixth to six times the reference, in steps of 2 %.
  static constexpr std::size_t grid_size = 181;
  static constexpr double log_pace_max = 1.8;

  static double pace_at(std::size_t i);
  void multiply(const std::array<double, grid_size>& likelihood);
  void normalise();

  std::array<double, grid_size> weight_{};
};

}  // namespace wheymark
