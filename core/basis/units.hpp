// Temperatures and instants that cannot be mixed up.
//
// A temperature and a temperature difference are different types: adding two temperatures does
// not compile. Instants are UTC milliseconds; nobody in core asks what time it is now, so every
// instant comes in as data. Every other quantity is a double whose name ends in its unit.
#pragma once

#include <chrono>
#include <cmath>
#include <compare>

namespace wheymark {

// A difference of two temperatures, in kelvin.
class KelvinDifference {
 public:
  constexpr explicit KelvinDifference(double k) : k_(k) {}
  [[nodiscard]] constexpr double kelvin() const { return k_; }
  friend constexpr auto operator<=>(KelvinDifference, KelvinDifference) = default;
  friend constexpr KelvinDifference operator*(double factor, KelvinDifference d) {
    return KelvinDifference(factor * d.k_);
  }

 private:
  double k_;
};

// A temperature, in degrees Celsius. May be NaN, which stays visible through every formula.
class Celsius {
 public:
  constexpr explicit Celsius(double degrees) : degrees_(degrees) {}
  [[nodiscard]] constexpr double degrees() const { return degrees_; }
  friend constexpr auto operator<=>(Celsius, Celsius) = default;
  friend constexpr KelvinDifference operator-(Celsius a, Celsius b) {
    return KelvinDifference(a.degrees_ - b.degrees_);
  }
  friend constexpr Celsius operator+(Celsius t, KelvinDifference d) {
    return Celsius(t.degrees_ + d.kelvin());
  }

 private:
  double degrees_;
};

using Milliseconds = std::chrono::milliseconds;
using Instant = std::chrono::sys_time<Milliseconds>;

// Hours from `from` to `to`; negative when `to` is earlier.
constexpr double hours_between(Instant from, Instant to) {
  return static_cast<double>((to - from).count()) / 3.6e6;
}

// The instant `hours` (finite, may be negative) after `from`, to the nearest millisecond.
inline Instant after_hours(Instant from, double hours) {
  return from + Milliseconds(std::llround(hours * 3.6e6));
}

namespace literals {
constexpr Celsius operator""_degC(long double degrees) {
  return Celsius(static_cast<double>(degrees));
}
constexpr KelvinDifference operator""_K(long double kelvin) {
  return KelvinDifference(static_cast<double>(kelvin));
}
}  // namespace literals

}  // namespace wheymark
