// How near in time the other signs lie to the peak's opening in a household, and what is kept once
// for all the courses that have it in common.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace wheymark {

// ln(a sign's clock hours / the opening's) is so many times what the reference course says: 1 is
// the reference, half of it a course that passes from thickened to whey pockets, or from these to
// clear whey, twice as fast.
struct Course {
  double before;  // the peak opens
  double after;
};

// Each before with each after.
inline constexpr std::array<double, 5> courses_before{0.30, 0.55, 0.80, 1.05, 1.30};
inline constexpr std::array<double, 3> courses_after{0.25, 0.55, 1.05};
inline constexpr auto courses = [] {
  std::array<Course, courses_before.size() * courses_after.size()> all{};
  for (std::size_t i = 0; i < all.size(); ++i) {
    all[i] = {courses_before[i / courses_after.size()], courses_after[i % courses_after.size()]};
  }
  return all;
}();

// The row of each course, in a table whose rows are kept elsewhere.
using RowOfCourse = std::array<std::uint8_t, courses.size()>;

// The number of `row` among `rows`, to whose end it is added when it is not there.
template <class Row>
std::uint8_t number_among(std::vector<Row>& rows, const Row& row) {
  const auto known = std::find(rows.begin(), rows.end(), row);
  const auto number = static_cast<std::uint8_t>(known - rows.begin());
  if (known == rows.end()) rows.push_back(row);
  return number;
}

// A table made of two: its rows are the pairs of their rows that some course has.
struct PairedRows {
  std::vector<std::pair<std::uint8_t, std::uint8_t>> rows;
  RowOfCourse row_of{};

  PairedRows(const RowOfCourse& first, const RowOfCourse& second) {
    for (std::size_t c = 0; c < courses.size(); ++c) {
      row_of[c] = number_among(rows, {first[c], second[c]});
    }
  }
};

}  // namespace wheymark
