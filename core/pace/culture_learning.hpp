// What one culture's batches have taught so far, in whichever order they were reported.
//
// Every batch whose grains are out is a lesson. The belief is the fold of all lessons in the order
// in which the grains came out; a late report, or one taken back, replaces its lesson, and what
// follows is folded again. Lessons of which nothing can change any more (their air is forgotten)
// are kept as folded.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/pace/culture_health.hpp"
#include "core/pace/culture_pace.hpp"
#include "core/pace/pace_evidence.hpp"
#include "core/pace/straining_habit.hpp"

namespace wheymark {

// What a batch has shown, when its grains came out, and how warm it had been (CultureHealth).
struct Lesson {
  std::uint64_t batch;
  Instant at;
  PaceEvidence evidence;
  std::optional<double> log_warmth = std::nullopt;
  std::optional<SilentStraining> strained = std::nullopt;  // where no verdict was given
  bool remembered = false;  // it was not followed: it says nothing of a change
};

class CultureLearning {
 public:
  // Of a culture that has shown nothing yet.
  explicit CultureLearning(const CulturePace& unknown);

  // Learns a batch's lesson, in place of what was known of that batch.
  void learn(Lesson lesson);
  // What its people know from before, in place of what they told of that until now. It stands
  // beside all lessons, so it weighs less with each.
  void know_usual(PaceEvidence usual);
  // As if the batch had never been.
  void forget(std::uint64_t batch);
  // Nothing of batches before this instant will change any more.
  void settle_before(Instant instant);

  // How likely it is that this culture is strained by what it shows, 0 to 1.
  [[nodiscard]] double strained_by_looks() const { return now_.habit.looks(); }
  // After all lessons.
  [[nodiscard]] CulturePace pace() const { return now_.pace.given(usual_); }
  [[nodiscard]] const CultureHealth& health() const { return now_.health; }
  // The culture as it is known from all other batches whose grains came out before this one's.
  [[nodiscard]] CulturePace pace_without(std::uint64_t batch, Instant grains_out) const;

 private:
  struct Learned {
    CulturePace pace;
    CultureHealth health;
    StrainingHabit habit;
    void learn(const Lesson& lesson, const PaceEvidence& usual);
  };
  void fold_again();

  PaceEvidence usual_;
  Learned settled_;
  std::vector<Lesson> lessons_;  // by instant, then by batch
  Learned now_;
};

}  // namespace wheymark
