// Do two thermometers speak on one topic, as if they were one?
//
// Their readings form two groups, well apart, and change from one group to the other within minutes
// again and again. No air does that: a compressor needs a quarter of an hour, a door and the sun
// do not come and go six times. Two that differ by less than three kelvin are not noticed.
#pragma once

#include <array>
#include <optional>

#include "core/basis/units.hpp"

namespace wheymark {

class TwoInOne {
 public:
  // Any reading of the topic, in the order of arrival.
  void read(Instant now, Celsius air);

  struct Groups {
    Celsius low;  // means
    Celsius high;
    double border_c;  // between them
  };
  // The groups, while there are two.
  [[nodiscard]] const std::optional<Groups>& groups() const { return groups_; }

 private:
  [[nodiscard]] std::optional<Groups> found() const;

  struct Heard {
    Instant at;
    double air_c;
  };
  std::array<Heard, 24> heard_{};
  std::size_t count_ = 0;  // of all time
  std::optional<Groups> groups_;
};

}  // namespace wheymark
