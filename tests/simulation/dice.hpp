// Chance for simulated households: a standard engine, and distributions of our own, because the
// standard library's differ from one implementation to the next.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>

namespace wheymark::simulation {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed * 0x9E3779B97F4A7C15U + 1U) {
    engine_.discard(8);
  }

  double even(double from, double to) {
    return from + (to - from) * (static_cast<double>(engine_() >> 11U) * 0x1.0p-53);
  }
  double normal(double mean, double sd) {  // Box and Muller
    const double radius = std::sqrt(-2.0 * std::log(1.0 - even(0.0, 1.0)));
    return mean + sd * radius * std::cos(2.0 * std::numbers::pi * even(0.0, 1.0));
  }
  double waiting(double mean) { return -mean * std::log(1.0 - even(0.0, 1.0)); }
  bool happens(double chance) { return even(0.0, 1.0) < chance; }

 private:
  std::mt19937_64 engine_;
};

}  // namespace wheymark::simulation
