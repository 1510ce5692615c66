#include "core/pace/pace_evidence.hpp"

#include <algorithm>
#include <cstdint>
#include <utility>

namespace wheymark {

void PaceEvidence::multiply(const Shown& shown, double mistaken_share) {
  double most = 0.0;
  for (const auto& row : shown.rows)
    most = std::max(most, *std::max_element(row.begin(), row.end()));
  if (!(most > 0.0)) return;
  const PairedRows paired(says_something() ? likelihoods_->row_of : RowOfSpacing{}, shown.row_of);
  std::vector<pace_grid::OverPaces> after;
  after.reserve(paired.rows.size());
  double most_now = 0.0;
  for (const auto& [before, by] : paired.rows) {
    pace_grid::OverPaces& row = after.emplace_back();
    if (says_something()) {
      row = pace_grid::taken_up(likelihoods_->rows[before]);
    } else {
      row.fill(1.0);
    }
    for (std::size_t i = 0; i < pace_grid::size; ++i) {
      row[i] *= mistaken_share + (1.0 - mistaken_share) * shown.rows[by][i] / most;
      most_now = std::max(most_now, row[i]);
    }
  }
  auto kept = std::make_shared<Likelihoods>();
  std::vector<std::uint8_t> number_of;  // each pair's
  for (pace_grid::OverPaces& row : after) {
    // A long row of reports must not underflow to zero.
    for (double& one : row) one /= most_now;
    number_of.push_back(number_among(kept->rows, pace_grid::kept(row)));
  }
  for (std::size_t c = 0; c < sign_spacings.size(); ++c) {
    kept->row_of[c] = number_of[paired.row_of[c]];
  }
  kept->rows.shrink_to_fit();
  likelihoods_ = std::move(kept);
}

PaceEvidence PaceEvidence::and_perhaps(const PaceEvidence& other, double share) const {
  PaceEvidence both = *this;
  if (!other.says_something()) return both;
  Shown shown{{}, other.likelihoods_->row_of};
  for (const auto& row : other.likelihoods_->rows) shown.rows.push_back(pace_grid::taken_up(row));
  both.multiply(shown, share);
  return both;
}

PaceEvidence PaceEvidence::moved(double log_shift, double log_sd) const {
  if (!says_something()) return *this;
  const pace_grid::Blur blur = pace_grid::normal_blur(log_sd);
  auto likelihoods = std::make_shared<Likelihoods>(*likelihoods_);
  for (auto& row : likelihoods->rows) {
    const auto moved = pace_grid::moved(pace_grid::taken_up(row), log_shift);
    row = pace_grid::kept(pace_grid::blurred(moved, blur));
  }
  PaceEvidence other;
  other.likelihoods_ = std::move(likelihoods);
  return other;
}

}  // namespace wheymark
