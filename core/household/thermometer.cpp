#include "core/household/thermometer.hpp"

#include <algorithm>

#include "core/basis/limits.hpp"

namespace wheymark {

bool Thermometer::plausible(Celsius air) {
  return air.degrees() >= limits::plausible_c_min && air.degrees() <= limits::plausible_c_max;
}

void Thermometer::read(Instant at) {
  last_return_ = Return{at, last_read_, doubted_since_};
  doubted_since_.reset();
  last_read_ = at;
}

void Thermometer::doubted(Instant at) {
  if (!doubted_since_) doubted_since_ = at;
}

std::optional<Instant> Thermometer::silent_from(Instant listening_since) const {
  if (!exists_) return std::nullopt;
  return std::max(last_read_.value_or(listening_since), listening_since) + silent_after_;
}

Trust Thermometer::trust(Instant now, Instant listening_since) const {
  if (!exists_) return Trust::none;
  if (doubted_since_) return Trust::implausible;
  return last_read_ && now < *silent_from(listening_since) ? Trust::good : Trust::silent;
}

}  // namespace wheymark
