// Instants as text: RFC 3339 in and out, and the Unix times that thermometers send.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "core/basis/result.hpp"
#include "core/basis/rfc3339.hpp"
#include "core/basis/units.hpp"

namespace wheymark {

// The instant of `text`, which must be RFC 3339 in full: date, T, time, Z or an offset (t and z may
// be small). What is finer than a millisecond is cut off. Refused with one sentence: any other
// form, a day or hour that does not exist, a missing zone, a leap second (it has no Unix time of
// its own), and instants outside the years 0000 to 9999.
Result<Instant> instant_from_rfc3339(std::string_view text);

// As core/basis/rfc3339.hpp writes it.
nlohmann::json instant_or_null(const std::optional<Instant>& instant);

// An instant as thermometers give it: an RFC 3339 text, or Unix seconds or milliseconds as a number
// or as the text of one. Seconds and milliseconds are told apart by size, because only instants
// from limits::sane_since to limits::sane_until are accepted; others are refused with one sentence.
Result<Instant> instant_from_value(const nlohmann::json& value);

}  // namespace wheymark
