// Has a place been too warm or too cold for so long that it matters, or was it a door left open?
//
// It judges not the air itself but what a glass of something in it would feel, an hour behind: a
// fridge's compressor, an open door and a minute of sun do not count. An excursion begins when that
// has been beyond the border for a time, and ends when it has been well on the good side for a
// time, so that a week of hot afternoons is one excursion and is announced once.
#pragma once

#include <optional>

#include "core/basis/units.hpp"

namespace wheymark {

class Excursion {
 public:
  struct Border {
    double air_c;
    bool above;       // too warm; else too cold
    double lasts_h;   // beyond it, until it matters
    double margin_k;  // so far on the good side
    double over_h;    // for so long, until it is over
  };
  explicit Excursion(const Border& border) : border_(border) {}

  // In the order of time.
  void read(Instant at, Celsius air);

  // When the present excursion began to count; nothing when there is none.
  [[nodiscard]] std::optional<Instant> since() const { return since_; }

 private:
  [[nodiscard]] bool beyond(double margin_k) const;

  Border border_;
  std::optional<Instant> last_read_;
  double felt_c_ = 0.0;
  std::optional<Instant> beyond_since_;
  std::optional<Instant> good_since_;
  std::optional<Instant> since_;
};

// Cold holding is 5 degC or below [foodcode2022], and home guidance gives food two hours out of it;
// one degree is allowed for the thermometer. Above 30 degC a culture suffers and separates fast;
// below 15 degC it hardly moves (common practice; the figures are our estimates).
inline constexpr Excursion::Border warm_fridge{6.0, true, 1.5, 0.5, 2.0};
inline constexpr Excursion::Border hot_room{30.0, true, 1.0, 1.0, 24.0};
inline constexpr Excursion::Border cold_room{15.0, false, 3.0, 1.0, 24.0};

}  // namespace wheymark
