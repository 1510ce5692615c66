// What one batch's reports say of its pace, apart from anything believed before.
//
// A likelihood for each pace and each sign spacing: how near in time the other signs lie to the
// peak's opening in this household. Milk, culture and eyes make the spacing shorter or longer, and
// what a thickening at noon or a clear layer of whey in the morning tells of the opening depends on
// that; what comes before the peak and how long it lasts are separate. Without a report every pace
// is equally likely, and nothing is learned.
#pragma once

#include <memory>
#include <vector>

#include "core/kinetics/parameters.hpp"
#include "core/pace/pace_grid.hpp"
#include "core/pace/sign_spacing.hpp"

namespace wheymark {

class PaceEvidence {
 public:
  // Weighs by `likelihood(log_pace, spacing)`, on any common scale. A report is never believed
  // entirely: a small share is assumed to be mistaken (the wrong jar, a slip of the finger), so
  // that one wrong report does not rule out the truth. Likelihoods that are zero everywhere are
  // ignored.
  template <class Likelihood>
  void weigh(Likelihood likelihood,
             double mistaken_share = default_parameters().mistaken_report_share) {
    Shown shown;
    for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
      shown.row_of[c] = static_cast<std::uint8_t>(c);
      add_row(shown, [&](double log_pace) { return likelihood(log_pace, sign_spacings[c]); });
    }
    multiply(shown, mistaken_share);
  }
  // The same by `likelihood(log_pace, spacing.*part)`, for what depends on one part of the spacing
  // only: spacings that have it in common are weighed once.
  template <class Likelihood>
  void weigh_by(double SignSpacing::*part, Likelihood likelihood,
                double mistaken_share = default_parameters().mistaken_report_share) {
    Shown shown;
    std::vector<double> parts;
    for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
      const double one = sign_spacings[c].*part;
      shown.row_of[c] = number_among(parts, one);
      if (parts.size() == shown.rows.size()) continue;
      add_row(shown, [&](double log_pace) { return likelihood(log_pace, one); });
    }
    multiply(shown, mistaken_share);
  }

  [[nodiscard]] bool says_something() const { return likelihoods_ != nullptr; }
  // Its likelihoods, if it says something: most reports say the same of many spacings, so those
  // share a row.
  using Likelihoods = BySpacing<pace_grid::KeptOverPaces>;
  [[nodiscard]] const Likelihoods& likelihoods() const { return *likelihoods_; }

  // This and `other`, where that has nothing to do with the pace in this share of cases (0 to 1).
  [[nodiscard]] PaceEvidence and_perhaps(const PaceEvidence& other, double share) const;
  // The evidence about one that is faster by `log_shift` in ln(pace), known to within `log_sd`.
  [[nodiscard]] PaceEvidence moved(double log_shift, double log_sd) const;

 private:
  using Shown = BySpacing<pace_grid::OverPaces>;  // what one report says
  template <class OfAPace>
  static void add_row(Shown& shown, OfAPace of_a_pace) {
    pace_grid::OverPaces& row = shown.rows.emplace_back();
    for (std::size_t i = 0; i < pace_grid::size; ++i) row[i] = of_a_pace(pace_grid::log_pace_at(i));
  }
  void multiply(const Shown& shown, double mistaken_share);

  // Null while it says nothing, as of most jars; never changed once made, so that copies share it.
  std::shared_ptr<const Likelihoods> likelihoods_;
};

}  // namespace wheymark
