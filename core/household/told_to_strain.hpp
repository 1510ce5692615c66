// Which batch somebody was told may be ready, by the ids of what was told: "….12.peak-open" of an
// announcement, "jar-blue.12.strain" or "….strain-2" of a notice's matter.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace wheymark {

inline std::optional<std::uint64_t> told_to_strain(std::string_view id) {
  const std::size_t end = id.rfind('.');
  if (end == std::string_view::npos) return std::nullopt;
  const std::string_view what = id.substr(end + 1);
  if (what != "peak-open" && !what.starts_with("strain")) return std::nullopt;
  if (what.starts_with("strained")) return std::nullopt;
  const std::size_t begin = id.rfind('.', end - 1) + 1;
  constexpr std::size_t digits_max = 18;  // more would not fit
  if (begin == end || end - begin > digits_max) return std::nullopt;
  std::uint64_t batch = 0;
  for (const char digit : id.substr(begin, end - begin)) {
    if (digit < '0' || digit > '9') return std::nullopt;
    batch = 10 * batch + static_cast<std::uint64_t>(digit - '0');
  }
  return batch;
}

}  // namespace wheymark
