// Whatever changes and is announced by itself: a batch, a culture, a jar, a place.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>
#include <string>

#include "core/basis/ids.hpp"

namespace wheymark {

struct Subject {
  enum class Kind { batch, culture, jar, place };
  Kind kind;
  std::uint64_t batch = 0;  // a batch's number
  std::string id = {};      // of anything else

  static Subject of_batch(std::uint64_t number) { return {Kind::batch, number}; }
  static Subject of_culture(const CultureId& id) { return {Kind::culture, 0, id.text()}; }
  static Subject of_jar(const JarId& id) { return {Kind::jar, 0, id.text()}; }
  static Subject of_place(const PlaceId& id) { return {Kind::place, 0, id.text()}; }

  // Each only for its own kind.
  [[nodiscard]] CultureId culture() const { return CultureId(id); }
  [[nodiscard]] JarId jar() const { return JarId(id); }
  [[nodiscard]] PlaceId place() const { return PlaceId(id); }

  friend auto operator<=>(const Subject&, const Subject&) = default;
};

}  // namespace wheymark

template <>
struct std::hash<wheymark::Subject> {
  std::size_t operator()(const wheymark::Subject& subject) const {
    const auto kind = static_cast<std::size_t>(subject.kind);
    return std::hash<std::string>()(subject.id) ^ (4 * subject.batch + kind);
  }
};
