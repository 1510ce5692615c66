// How fast a culture is, from batch to batch: what is believed of the next batch before it begins.
//
// Three things are not known and are learned together on one grid: the culture's own pace, how far
// its batches scatter around that, and the household's sign spacing (sign_spacing.hpp). Between
// batches the pace drifts, so the belief widens with the days. A batch now and then is odd (a
// draught, other milk): the scatter has heavy tails, so that one odd batch does not drag the
// culture along. A batch without reports teaches nothing.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <vector>

#include "core/basis/units.hpp"
#include "core/kinetics/parameters.hpp"
#include "core/pace/pace.hpp"
#include "core/pace/pace_evidence.hpp"
#include "core/pace/sign_spacing.hpp"

namespace wheymark {

class CulturePace {
 public:
  // Of a culture that has shown nothing yet.
  explicit CulturePace(const Parameters& parameters);

  // Learns what a batch that ended at `at` (not before the last) has shown.
  void learn(const PaceEvidence& evidence, Instant at);

  // The same culture, after what is known of it from before, whenever that was told. It is about
  // its usual batch, so scatter and drift do not blur it.
  [[nodiscard]] CulturePace given(const PaceEvidence& usual) const;

  // What is believed of a batch that begins at `at`.
  [[nodiscard]] PaceBelief of_a_batch(Instant at) const;
  // What is believed of the culture itself, at its last batch that showed something.
  [[nodiscard]] PaceBelief of_the_culture() const;

  // By how much its batches scatter, as a standard deviation of ln(pace): the mean of the belief.
  [[nodiscard]] double batch_to_batch_log_sd() const;
  // What is believed of the household's sign spacing; the shares add up to 1.
  [[nodiscard]] std::array<double, sign_spacings.size()> spacing_shares() const;
  // The batches that have shown something.
  [[nodiscard]] std::size_t batches() const { return batches_; }

 private:
  static constexpr std::size_t scatters = 5;
  // A weight for each scatter and each pace. Spacings that no report has told apart share a row:
  // the weight of each is the row's times the spacing's prior.
  using Row = std::array<pace_grid::KeptOverPaces, scatters>;
  struct OverCultures : BySpacing<Row> {
    std::vector<std::array<double, scatters>> shares;  // the total of each row and scatter
  };
  struct Scatter {
    double log_sd;
    pace_grid::Blur blur;  // that it makes
  };
  struct Scatters {
    std::array<Scatter, scatters> tried;
    double drift_log_sd_a_day;
  };

  // By how much the pace has drifted by this instant since it was last learned.
  [[nodiscard]] pace_grid::Blur drift_until(Instant at) const;
  static void normalise(OverCultures& weights);
  // The belief when each row's weights of one scatter count as `of_a_row` makes them.
  template <class OfARow>
  [[nodiscard]] PaceBelief belief(OfARow of_a_row) const;

  // Never changed once made: cultures that have shown nothing share them, and so do copies.
  std::shared_ptr<const Scatters> scatter_;
  std::shared_ptr<const OverCultures> weight_;
  std::optional<Instant> learned_at_;
  std::size_t batches_ = 0;
};

}  // namespace wheymark
