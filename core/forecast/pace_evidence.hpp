// What one batch's reports say of its pace, apart from anything believed before.
//
// A likelihood for each pace, and for each course: how near in time the other signs lie to the
// peak's opening in this household. Milk, culture and eyes draw the course together or apart, and
// what a thickening at noon or a clear layer of whey in the morning says of the opening depends on
// that; what comes before the peak and how long it lasts are two things. No report: every pace is
// as likely, and nothing is learned.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "core/forecast/pace_grid.hpp"

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

class PaceEvidence {
 public:
  // Weighs by `likelihood(log_pace, course)`, on any common scale. A report is never believed
  // entirely: a small share is taken as mistaken (the wrong jar, a slip of the finger), so that one
  // wrong word does not rule out the truth. Likelihoods that are zero everywhere say nothing.
  template <class Likelihood>
  void weigh(Likelihood likelihood) {
    ByCourse by_course;
    for (std::size_t c = 0; c < courses.size(); ++c) {
      for (std::size_t i = 0; i < pace_grid::size; ++i) {
        by_course[c][i] = likelihood(pace_grid::log_pace_at(i), courses[c]);
      }
    }
    multiply(by_course);
  }

  [[nodiscard]] bool says_something() const { return likelihoods_ != nullptr; }
  // What it says, if it says something: most reports say the same of many courses, so those share
  // a row of likelihoods.
  struct Likelihoods {
    std::vector<pace_grid::KeptOverPaces> rows;
    std::array<std::uint8_t, courses.size()> row_of;  // each course
  };
  [[nodiscard]] const Likelihoods& likelihoods() const { return *likelihoods_; }
  [[nodiscard]] const pace_grid::KeptOverPaces& likelihood(std::size_t course) const {
    return likelihoods_->rows[likelihoods_->row_of[course]];
  }

  // What it says of one that is faster by so much ln(pace), known to within `log_sd`.
  [[nodiscard]] PaceEvidence moved(double log_shift, double log_sd) const;

 private:
  using ByCourse = std::array<pace_grid::OverPaces, courses.size()>;
  void multiply(const ByCourse& by_course);

  // Null while it says nothing, as of most jars; never changed once made, so that copies share it.
  std::shared_ptr<const Likelihoods> likelihoods_;
};

}  // namespace wheymark
