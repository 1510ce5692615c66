// How far is the household's clock ahead of UTC at some instant?
//
// The zones are the machine's own (tzdata). Beyond 2037 its tables end, and the last offset holds.
#pragma once

#include <chrono>
#include <functional>
#include <string>

#include "core/basis/result.hpp"
#include "core/basis/units.hpp"

namespace wheymark {

using UtcOffset = std::function<std::chrono::minutes(Instant)>;

// The offset of an IANA zone such as Europe/Lisbon, rounded down to minutes. "UTC" works on
// machines without tzdata, too. The refusal says what is allowed ("an IANA time zone such as ..."),
// and, where a zone has nearly that name, which.
Result<UtcOffset> utc_offset_in(const std::string& zone);

}  // namespace wheymark
