// What does a straining without a word tell of a batch?
//
// Some people look, and strain what shows whey pockets: when they strained tells much. Some strain
// when they are told that it is time, others at their hour: that tells nothing, and must not be
// taken for the former. Which of these a household does is learned from its strainings, by how
// likely each of the three makes their hour (Bayes' rule); in between, a straining counts by the
// share of it that is more likely from somebody who looked.
#pragma once

#include <optional>
#include <vector>

#include "core/pace/observation.hpp"
#include "core/pace/pace.hpp"
#include "core/pace/pace_evidence.hpp"

namespace wheymark {

// A straining without a verdict.
struct SilentStraining {
  PaceEvidence if_looked;  // what it tells if they strain what they see
  double most_per_h;       // the likelihood of the hour where that is 1, each hour awake
  double after_start_h;
  std::optional<double> after_told_h;  // hours awake since they were told that it may be ready
};

// What one without a verdict tells; nothing where the look tells nothing, or where the person has
// reported before that it is ready.
std::optional<SilentStraining> silent_straining(double after_start_h,
                                                std::optional<double> after_told_h,
                                                Sign seen_before, const Look& look,
                                                const Milestones& milestones,
                                                const Parameters& parameters);

class StrainingHabit {
 public:
  // What the batch's reports and its straining tell together; `believed` is what was believed of
  // its pace before it. The straining teaches who strains here.
  PaceEvidence learn(const PaceEvidence& reports, const SilentStraining& straining,
                     const PaceBelief& believed);

  // How likely it is that they strain what they see, 0 to 1.
  [[nodiscard]] double looks() const { return looks_; }

 private:
  // The likelihood of an hour after the start by habit, each hour.
  [[nodiscard]] double at_their_hour(double after_start_h) const;

  static constexpr double looks_before = 0.55;
  static constexpr double obeys_before = 0.20;
  static constexpr double by_the_clock_before = 0.25;

  double looks_ = looks_before;
  double obeys_ = obeys_before;
  double by_the_clock_ = by_the_clock_before;
  std::vector<double> hours_;  // of the latest strainings after their starts, the latest last
};

}  // namespace wheymark
