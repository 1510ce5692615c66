// An instant as devices write it: any form of RFC 3339 and ISO 8601 that they really use, or Unix
// seconds or milliseconds.
#pragma once

#include <chrono>
#include <functional>
#include <nlohmann/json_fwd.hpp>

#include "core/basis/result.hpp"
#include "core/basis/units.hpp"

namespace wheymark {

struct DeviceInstant {
  Instant at;
  bool is_local = false;  // no zone was written, so the home's was taken
};

using ZoneOffset = std::function<std::chrono::minutes(Instant)>;

// Beside RFC 3339: a space for the T, the basic form (20270301T081000Z), no seconds, a comma before
// the fraction, offsets of hours alone (+02) or without a colon (+0200), and no zone at all, which
// is the home's. Refused with one sentence: any other form, and instants before limits::sane_since
// or after limits::sane_until.
Result<DeviceInstant> device_instant_from(const nlohmann::json& value, const ZoneOffset& home);

}  // namespace wheymark
