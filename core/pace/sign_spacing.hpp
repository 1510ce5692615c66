// How near in time the other signs lie to the peak's opening in a household, and what is stored
// once for all the spacings that have it in common.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace wheymark {

// ln(a sign's clock hours / the opening's) is this multiple of the reference's: 1 is the reference;
// with a half, a batch passes from thickened to whey pockets, or from these to clear whey, twice as
// fast.
struct SignSpacing {
  double before;  // the peak opens
  double after;
};

// Each before with each after.
inline constexpr std::array<double, 5> spacings_before{0.30, 0.55, 0.80, 1.05, 1.30};
inline constexpr std::array<double, 3> spacings_after{0.25, 0.55, 1.05};
inline constexpr auto sign_spacings = [] {
  std::array<SignSpacing, spacings_before.size() * spacings_after.size()> all{};
  for (std::size_t i = 0; i < all.size(); ++i) {
    all[i] = {spacings_before[i / spacings_after.size()],
              spacings_after[i % spacings_after.size()]};
  }
  return all;
}();

// What is believed of a household's sign spacing before it has shown anything. Our estimates:
// kitchens have the reference spacing, laboratories and other milks often a shorter one; how long a
// peak lasts differs by a factor of four.
inline constexpr std::array<double, spacings_before.size()> before_prior{0.12, 0.18, 0.25, 0.28,
                                                                         0.17};
inline constexpr std::array<double, spacings_after.size()> after_prior{0.35, 0.40, 0.25};
inline constexpr auto spacing_prior = [] {
  std::array<double, sign_spacings.size()> all{};
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    all[c] = before_prior[c / spacings_after.size()] * after_prior[c % spacings_after.size()];
  }
  return all;
}();

using RowOfSpacing = std::array<std::uint8_t, sign_spacings.size()>;

// A row for each spacing, stored once for all that have it in common.
template <class Row>
struct BySpacing {
  std::vector<Row> rows;
  RowOfSpacing row_of{};

  [[nodiscard]] const Row& of(std::size_t spacing) const { return rows[row_of[spacing]]; }
  // The same row for each spacing, however they are shared.
  friend bool operator==(const BySpacing& a, const BySpacing& b) {
    for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
      if (a.of(c) != b.of(c)) return false;
    }
    return true;
  }
};

// The index of `row` among `rows`; it is appended when it is not there.
template <class Row>
std::uint8_t number_among(std::vector<Row>& rows, const Row& row) {
  const auto known = std::find(rows.begin(), rows.end(), row);
  const auto number = static_cast<std::uint8_t>(known - rows.begin());
  if (known == rows.end()) rows.push_back(row);
  return number;
}

// One made of two: its rows are the pairs of their rows that some spacing has.
struct PairedRows {
  std::vector<std::pair<std::uint8_t, std::uint8_t>> rows;
  RowOfSpacing row_of{};

  PairedRows(const RowOfSpacing& first, const RowOfSpacing& second) {
    for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
      row_of[c] = number_among(rows, {first[c], second[c]});
    }
  }
};

}  // namespace wheymark
