// The ids of jars, cultures and places, which cannot be mixed up: each is a type of its own.
//
// An id is one level of a topic: a-z, 0-9 and hyphens. Whoever reads one from outside checks that;
// here it is only carried.
#pragma once

#include <compare>
#include <fmt/core.h>
#include <functional>
#include <string>
#include <string_view>
#include <utility>

namespace wheymark {

template <class Thing>
class Id {
 public:
  Id() = default;
  Id(const char* literal) : text_(literal) {}  // NOLINT: "blue" is a jar's id where one is wanted
  explicit Id(std::string text) : text_(std::move(text)) {}

  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] bool empty() const { return text_.empty(); }
  friend auto operator<=>(const Id&, const Id&) = default;

 private:
  std::string text_;
};

using JarId = Id<struct TheJar>;
using CultureId = Id<struct TheCulture>;
using PlaceId = Id<struct ThePlace>;

}  // namespace wheymark

template <class Thing>
struct std::hash<wheymark::Id<Thing>> {
  std::size_t operator()(const wheymark::Id<Thing>& id) const {
    return std::hash<std::string>()(id.text());
  }
};

template <class Thing>
struct fmt::formatter<wheymark::Id<Thing>> : fmt::formatter<std::string_view> {
  template <class Context>
  auto format(const wheymark::Id<Thing>& id, Context& context) const {
    return fmt::formatter<std::string_view>::format(id.text(), context);
  }
};
