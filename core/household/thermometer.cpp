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

void Thermometer::heard(Instant now) {
  last_heard_ = now;
}

std::optional<Instant> Thermometer::last_said() const {
  return std::max(last_read_, doubted_since_);  // nothing is less than any instant
}

std::optional<Instant> Thermometer::silent_from(Instant listening_since) const {
  if (!exists_) return std::nullopt;
  const Instant known = std::max(last_read_, last_heard_).value_or(listening_since);
  return std::max(known, listening_since) + silent_after_;
}

std::optional<Instant> Thermometer::good_until() const {
  if (!exists_ || doubted_since_ || !last_read_) return std::nullopt;
  return *std::max(last_read_, last_heard_) + silent_after_;
}

Trust Thermometer::trust(Instant now) const {
  if (!exists_) return Trust::none;
  if (doubted_since_) return Trust::implausible;
  const auto good = good_until();
  return good && now < *good ? Trust::good : Trust::silent;
}

}  // namespace wheymark
