// How is an instant written in a replay and on a clock topic?
//
// As RFC 3339: 2027-03-01T08:00:00Z, with a fraction of a second or an offset if there is one. A
// leap second (second 60) is refused: no clock of ours ever shows one. Instants are milliseconds
// since 1970-01-01T00:00:00Z, as in the library's header; finer fractions are cut off.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace wheymark {

// Nothing when `text` is not an instant in the years 1970 to 9999.
[[nodiscard]] std::optional<std::int64_t> instant_ms_from_rfc3339(std::string_view text);

// In UTC, with three decimals only when the milliseconds are not 0.
[[nodiscard]] std::string rfc3339_from_instant_ms(std::int64_t instant_ms);

}  // namespace wheymark
