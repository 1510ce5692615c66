// Chance in a simulated world: each throw is a function of the seed, of what it is for and of its
// number there, so that leaving one step out of a story does not change the throws of the others.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace wheymark::test {

class Dice {
 public:
  Dice(std::uint64_t seed, std::uint64_t purpose) : state_(mixed(seed) ^ mixed(~purpose)) {}

  // Evenly from 0 (in) to 1 (out).
  double share() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }
  double between(double low, double high) { return low + (high - low) * share(); }
  std::int64_t whole(std::int64_t low, std::int64_t high) {
    return low + static_cast<std::int64_t>(next() % static_cast<std::uint64_t>(high - low + 1));
  }
  bool happens(double probability) { return share() < probability; }
  // A standard normal number, by Box and Muller.
  double bell() {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - share()));
    return radius * std::cos(2.0 * std::numbers::pi * share());
  }
  template <class Things>
  auto one_of(const Things& things) {
    return things[static_cast<std::size_t>(whole(0, static_cast<std::int64_t>(things.size()) - 1))];
  }

 private:
  // SplitMix64 (Steele, Lea and Flood 2014).
  static std::uint64_t mixed(std::uint64_t z) {
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  std::uint64_t next() { return mixed(state_ += 0x9e3779b97f4a7c15ULL); }

  std::uint64_t state_;
};

}  // namespace wheymark::test
