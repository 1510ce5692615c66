// Has a text changed? Two that differ have the same fingerprint once in 10^19.
#pragma once

#include <cstdint>
#include <string_view>

namespace wheymark {

// FNV-1a (Fowler, Noll, Vo), 64 bits: the same on every machine.
constexpr std::uint64_t fingerprint(std::string_view text) {
  std::uint64_t hash = 14695981039346656037ULL;
  for (const char c : text) {
    hash ^= static_cast<unsigned char>(c);
    hash *= 1099511628211ULL;
  }
  return hash;
}

}  // namespace wheymark
